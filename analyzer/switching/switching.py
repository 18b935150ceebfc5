"""What was found in other states of a save's switches and movers."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from analyzer.base.place import Block
from analyzer.findings.findings import Finding, Throw

#: Which states were solved: all of them; those that differ from the save in at most two, or in at
#: most one, switches or movers; or none but the save's.
Extent: TypeAlias = Literal["all", "doubles", "singles", "none"]


@dataclass(frozen=True)
class Worst:
    """The greatest amount of something in any state that was looked at.

    Parameters
    ----------
    amount
        Power, or the magnitude of a speed in rpm.
    capacity
        What the movers of that network give in that state; None for a speed.
    at
        For power, the smallest part by position of that network as far as it is driven; for a
        speed, the part that turns so fast.
    throws
        What to set to come to that state, the fewest; none where it is the save's.
    """

    amount: Fraction
    capacity: Fraction | None
    at: Block
    throws: tuple[Throw, ...]


@dataclass(frozen=True)
class Bound:
    """What no network exceeds in any state, solved or not; None where no bound can be given.

    Parameters
    ----------
    demand, capacity
        In power.
    speed
        In rpm.
    """

    demand: Fraction | None
    capacity: Fraction
    speed: Fraction | None


@dataclass(frozen=True)
class Assembly:
    """Parts joined by couplings that hold in some state, and what they do in other states.

    Parameters
    ----------
    dimension, anchor
        Where it is, and its smallest part by position.
    networks
        Its networks as the save is, by number, ascending.
    parts, switches, movers
        How many parts it has; how many switches and movers among them can be thrown.
    states
        How many states there are; None beyond 2^64.
    extent
        Which of them were looked at.
    pieces
        How many pieces were looked at each by itself, behind the rest; 0 where all was one.
    solved
        How many states of the whole, of the rest or of a piece were solved.
    demand, speed
        The greatest in any state that was looked at; None where nothing turns in any.
    bound
        What holds for all states; None where all were looked at.
    cut
        Whether something that was not read, or a number that cannot be used, may change this.
    found
        Findings that hold in other states alone, the fewest throws first.
    more
        How many more there are that are not listed.
    """

    dimension: str
    anchor: Block
    networks: tuple[int, ...]
    parts: int
    switches: int
    movers: int
    states: int | None
    extent: Extent
    pieces: int
    solved: int
    demand: Worst | None
    speed: Worst | None
    bound: Bound | None
    cut: bool
    found: tuple[Finding, ...]
    more: int


@dataclass(frozen=True)
class Switching:
    """The assemblies with something to throw, by dimension and anchor.

    Parameters
    ----------
    assemblies
        Those that were asked about; a save without any gives none.
    idle
        Switches that nothing depends on.
    fixed
        Switches and movers whose state is stored, or whose property says more than whether they
        are on: they are left as they are.
    """

    assemblies: tuple[Assembly, ...]
    idle: int
    fixed: int
