"""What an audit of the demo save should find, written beside each build."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.place import Block
from analyzer.demo.content import Placement

OVERWORLD = "minecraft:overworld"
UNDERCROFT = "quayworks:undercroft"


@dataclass(frozen=True, order=True)
class ExpectedNetwork:
    """A network that an audit of the demo save should find.

    Parameters
    ----------
    dimension, anchor
        Where it is; the anchor is its member smallest by (x, y, z).
    state
        ``turning``, ``idle``, ``overloaded`` or ``conflicting``.
    parts
        How many parts it has.
    capacity, demand
        In hands (torque times rpm); demand is None where it is unknown.
    conflict
        ``none``, ``loop`` or ``movers``.
    cut
        Whether it points into something that cannot be read.
    """

    dimension: str
    anchor: Block
    state: str
    parts: int
    capacity: int
    demand: int | None
    conflict: str = "none"
    cut: bool = False


@dataclass(frozen=True)
class ExpectedFinding:
    """A finding that an audit of the demo save should print.

    Parameters
    ----------
    rule
        Name of the rule.
    dimension
        Where.
    anchor
        Anchor of the network it is about, or None.
    """

    rule: str
    dimension: str
    anchor: Block | None


@dataclass(frozen=True)
class Build:
    """Something that stands in the demo save.

    Parameters
    ----------
    dimension
        Where it stands.
    placements
        Its blocks.
    networks
        The networks it makes.
    rules
        Rules that its first network breaks.
    """

    dimension: str
    placements: tuple[Placement, ...]
    networks: tuple[ExpectedNetwork, ...]
    rules: tuple[str, ...] = ()

    @property
    def findings(self) -> tuple[ExpectedFinding, ...]:
        """The findings that its first network should give."""
        return tuple(
            ExpectedFinding(rule, self.dimension, self.networks[0].anchor) for rule in self.rules
        )


def build(
    dimension: str,
    placements: tuple[Placement, ...],
    *,
    anchor: tuple[int, int, int],
    state: str,
    capacity: int,
    demand: int | None,
    conflict: str = "none",
    cut: bool = False,
    rules: tuple[str, ...] = (),
) -> Build:
    """Describe a build that makes one network of all its blocks."""
    network = ExpectedNetwork(
        dimension, Block(*anchor), state, len(placements), capacity, demand, conflict, cut
    )
    return Build(dimension, placements, (network,), rules)
