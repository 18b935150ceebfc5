"""The least states in which something holds, gathered while states are gone through."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeAlias

from analyzer.findings.findings import Finding
from analyzer.switching.subject import State

#: What makes two findings of several states one: the rule with the witness's name, or, where it is
#: about a network, with the saved network of a mover that drives it.
Key: TypeAlias = tuple[str, str, int]

#: Rules about a network as a whole; the others are named by their witness.
WHOLE = frozenset({"out-of-range", "over-speed", "overload"})


@dataclass(frozen=True)
class Peak:
    """A greatest amount, with the capacity beside it, the row of a part, and its least state."""

    amount: Fraction
    capacity: Fraction | None
    at: int
    state: State

    @property
    def order(self) -> tuple[Fraction, int, State]:
        """What the least of is the peak that counts."""
        return -self.amount, len(self.state), self.state


@dataclass
class Gathered:
    """What was found so far.

    Parameters
    ----------
    states
        The least state of each key, with the length of the loop it is about, or 0.
    demand, speed
        The greatest so far.
    """

    states: dict[Key, tuple[State, int]] = field(default_factory=dict)
    demand: Peak | None = None
    speed: Peak | None = None

    def add(self, key: Key, state: State, length: int = 0) -> None:
        """Take in that something holds in a state."""
        known = self.states.get(key)
        if known is None or least(state) < least(known[0]):
            self.states[key] = (state, length)

    def throws(self, keys: list[Key]) -> int | None:
        """Return the most throws with which a state could be news for some keys; None: any."""
        known = [self.states.get(key) for key in keys]
        return None if None in known else max(len(one[0]) for one in known if one is not None)

    def ask(self, peak: Peak) -> None:
        """Take in a demand."""
        if self.demand is None or peak.order < self.demand.order:
            self.demand = peak

    def turn(self, peak: Peak) -> None:
        """Take in a speed."""
        if self.speed is None or peak.order < self.speed.order:
            self.speed = peak


def least(state: State) -> tuple[int, State]:
    """Return what states are ordered by: the fewest throws first, then by position."""
    return len(state), state


def joined(*states: State) -> State:
    """Return the state with the throws of several states of different levers."""
    return tuple(sorted(item for state in states for item in state))


def key_of(finding: Finding) -> Key:
    """Return what a finding with a witness is known by."""
    return finding.rule, finding.fingerprint, -1
