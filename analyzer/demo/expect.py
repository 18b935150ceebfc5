"""What an audit of the demo save should find, written beside each build."""

from __future__ import annotations

from dataclasses import dataclass, field

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
        ``none``, ``loop``, ``movers`` or ``governors``.
    cut
        Whether something that was not read, or a number that cannot be used, may be missing in it.
    rules
        Rules that it breaks, at the level of a warning or above; networks compare without them.
    """

    dimension: str
    anchor: Block
    state: str
    parts: int
    capacity: int
    demand: int | None
    conflict: str = "none"
    cut: bool = False
    rules: tuple[str, ...] = field(default=(), compare=False)


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
    """

    dimension: str
    placements: tuple[Placement, ...]
    networks: tuple[ExpectedNetwork, ...]

    @property
    def findings(self) -> tuple[ExpectedFinding, ...]:
        """The findings that its networks should give."""
        return tuple(
            ExpectedFinding(rule, self.dimension, network.anchor)
            for network in self.networks
            for rule in network.rules
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
        dimension, Block(*anchor), state, len(placements), capacity, demand, conflict, cut, rules
    )
    return Build(dimension, placements, (network,))


def joined(*builds: Build, besides: tuple[Placement, ...] = ()) -> Build:
    """Describe a build that makes several networks, given each as a build of one.

    Parameters
    ----------
    builds
        At least one, all of one dimension.
    besides
        Blocks that belong to it and are no parts.
    """
    return Build(
        builds[0].dimension,
        tuple(placed for each in builds for placed in each.placements) + besides,
        tuple(network for each in builds for network in each.networks),
    )
