"""Spare power: what a network's headroom is best spent on, and how it is known."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from analyzer.advice.advice import Gearing, Outline, Spot, Trial

#: What is made greatest: the sum of weight times speed over the machines, or the least share of
#: what each machine could use.
Goal: TypeAlias = Literal["throughput", "even"]

#: Why a network's headroom is not looked into.
Reason: TypeAlias = Literal[
    "conflicting",
    "demand-unknown",
    "idle",
    "no-machine-turns",
    "no-such-mover",
    "not-confirmed",
    "overloaded",
    "too-large",
]


@dataclass(frozen=True)
class Spending:
    """How headroom may be spent.

    Parameters
    ----------
    goal
        What is made greatest.
    weights
        Weight of each machine's speed by block name, at least 0; 1 where none is given.
    added
        Movers that are put alongside those in use first: how many, and their block name.
    steps
        Most pairs of gears on the way from a mover to any part.
    slower
        Whether machines may turn slower than they do, so that others turn faster.
    """

    goal: Goal = "throughput"
    weights: tuple[tuple[str, Fraction], ...] = ()
    added: tuple[tuple[int, str], ...] = ()
    steps: int = 2
    slower: bool = False


@dataclass(frozen=True)
class Turn:
    """A part whose speed changes: rpm about its positive world axis, before and after."""

    spot: Spot
    before_rpm: Fraction
    after_rpm: Fraction
    machine: bool


@dataclass(frozen=True)
class Optimum:
    """How it is known that nothing better exists.

    Parameters
    ----------
    by
        ``limits``: nothing may turn faster, whatever the power. ``price``: by a price on power.
        ``enumeration``: all that may come up to it were looked at. ``program``: by an integer
        program. ``demand``: the next greater least share asks for more
        power than there is. ``none``: it is not known.
    found
        What was reached: in rpm, or a share.
    bound
        Nothing goes above it.
    next_share, next_power
        With ``demand``: the next greater share, and the least demand that it takes.
    """

    by: Literal["limits", "price", "enumeration", "program", "demand", "none"]
    found: Fraction
    bound: Fraction
    next_share: Fraction | None = None
    next_power: Fraction | None = None

    @property
    def best(self) -> bool:
        """Whether nothing better exists."""
        return self.found == self.bound

    @property
    def gap(self) -> Fraction:
        """How much better something could be, at most."""
        return self.bound - self.found


@dataclass(frozen=True)
class Instead:
    """One coupling geared otherwise, all else as advised: better, but for want of power.

    Parameters
    ----------
    gearing
        The gears there.
    worth
        What would be reached.
    short_power
        How much more power it takes than there is, above 0.
    """

    gearing: Gearing
    worth: Fraction
    short_power: Fraction


@dataclass(frozen=True)
class Spare:
    """How best to spend a network's headroom, tried by solving the changed parts again.

    Parameters
    ----------
    spending
        What was asked.
    network
        The network as it is.
    trial
        The edits (movers put alongside, then gears), and the networks before and after.
    turns
        Every part whose speed changes, by position.
    worth_before, worth
        What is made greatest, as it is and with the edits: in rpm, or a share.
    left_power
        Headroom that is left.
    optimum
        How it is known that nothing better exists.
    instead
        What comes next, should there be more power: the least of it first.
    held
        With the goal ``even``: the machines that have the least share.
    """

    spending: Spending
    network: Outline
    trial: Trial
    turns: tuple[Turn, ...]
    worth_before: Fraction
    worth: Fraction
    left_power: Fraction
    optimum: Optimum
    instead: tuple[Instead, ...] = ()
    held: tuple[Spot, ...] = ()


@dataclass(frozen=True)
class Unspent:
    """A network without headroom to spend, and why."""

    network: Outline
    reason: Reason
