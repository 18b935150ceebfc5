"""Why one part turns as it does, as facts. The sentences are made by report."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from analyzer.base.place import Block
from analyzer.couplings.couplings import Kind
from analyzer.findings.findings import Finding
from analyzer.save.reading.block_there import BlockThere

#: Why a part stands still, or in which way it moves.
Cause: TypeAlias = Literal[
    "driven",
    "overloaded",
    "out of range",
    "no mover",
    "held",
    "not reached",
    "loop",
    "movers",
    "governors",
]
#: Causes of a part at rest that something else could drive.
RESTING: Final = ("no mover", "held", "not reached")
#: What would drive a part at rest: a mover of its network that does not drive, or the other side
#: of a switch, or the nearest part in its dimension that turns.
DriverKind: TypeAlias = Literal["mover", "switch", "turning part"]


@dataclass(frozen=True)
class Step:
    """One part of a chain, and how it is coupled to the one before.

    Parameters
    ----------
    part
        Its row.
    kind
        How it is coupled to the part before; None for the first.
    ratio
        Its speed per speed of the part before; None for the first, and where it is driven through
        a governed port, which fixes no ratio.
    sets_rpm
        What the governor before it sets, about the positive world axis of the governor's front;
        None where it is not driven through a governed port. A governor that follows the sense in
        which it is driven gives only the magnitude.
    rpm
        The speed that the chain gives it about the positive world axis of its front; None where
        the chain has no speed, or it is too long to write.
    """

    part: int
    kind: Kind | None
    ratio: Fraction | None
    sets_rpm: Fraction | None
    rpm: Fraction | None


@dataclass(frozen=True)
class DriveChain:
    """A chain from what leads to a part; at least one step long."""

    steps: tuple[Step, ...]

    @property
    def head(self) -> Step:
        """Where it starts: a mover, a governor, or a part of a loop that nothing drives."""
        return self.steps[0]

    @property
    def end(self) -> Step:
        """Where it leads."""
        return self.steps[-1]


@dataclass(frozen=True)
class Driver:
    """Something that would drive a part at rest.

    Parameters
    ----------
    kind
        What it is.
    part
        The row of the mover or turning part, or of the part beyond the switch.
    chain
        The way from it to the part; empty for what is not coupled to it.
    switches
        Rows of the switches to change over; empty where there is none on the way.
    squared
        Square of the distance in a straight line, in blocks.
    """

    kind: DriverKind
    part: int
    chain: tuple[Step, ...]
    switches: tuple[int, ...]
    squared: int


@dataclass(frozen=True)
class Explanation:
    """Why one part turns as it does.

    Parameters
    ----------
    part, network
        Its row, and the number of its network.
    cause
        What its motion comes from.
    chains
        One where something drives it or holds it; two that disagree in a conflict, or one that
        contradicts the governor that it starts at; none where it is not reached.
    drivers
        What would drive it where it rests, what asks for the least first.
    power
        What the part asks for (a machine) or gives (an active mover); None for any other, and
        where it is not known.
    findings
        Findings about its network, or about the part itself, that the user sees, the gravest first.
    """

    part: int
    network: int
    cause: Cause
    chains: tuple[DriveChain, ...]
    drivers: tuple[Driver, ...]
    power: Fraction | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Vacancy:
    """A position without a part.

    Parameters
    ----------
    dimension, at
        Where it is.
    there
        What the save has there.
    rejected
        The block there that is no part though a catalogue knows its block entity, and why; or
        None.
    nearest
        The row of the nearest part in the dimension, None where it has none.
    squared
        Square of the distance to it in a straight line, in blocks.
    """

    dimension: str
    at: Block
    there: BlockThere
    rejected: tuple[str, str] | None
    nearest: int | None
    squared: int
