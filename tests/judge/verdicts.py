"""What the judge says of one network."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from tests.judge.placed import Place
from tests.judge.switched import Coupling, Drive


@dataclass(frozen=True)
class Verdict:
    """What the judge says of one network.

    `speeds` are in rpm about each part's positive world axis, None where there are none (idle,
    conflicting, out of range). `demand` is None where it is unknown. `loops` holds the length of
    the shortest unbalanced loop of each unbalanced block, ascending, and is empty without a
    conflict by loop; `paths` the number of parts between two movers that cannot agree, at the
    fewest, of each zone that such movers lock, ascending, and is empty without a conflict by
    movers.

    `zones` are the members zone by zone; `driven` those of zones that turn as governors say, and
    `held` those of zones that a set speed of 0 keeps at rest. `broken` holds pairs of a place and
    the reason why its link couples nothing. `dragged` are the active movers that do not turn as
    they are rated, `too_slow` the machines that turn slower than they have to, `stale` the parts
    whose recorded speed is another; `unusable` are those with a number that cannot be used.
    `opened` are the parts that would be coupled to another one but for an open clutch.
    """

    members: tuple[Place, ...]
    zones: tuple[tuple[Place, ...], ...]
    state: str
    conflict: str | None
    speeds: dict[Place, Fraction | None]
    capacity: Fraction
    demand: Fraction | None
    cut: bool
    loops: tuple[int, ...]
    paths: tuple[int, ...]
    driven: frozenset[Place]
    held: frozenset[Place]
    out_of_range: frozenset[Place]
    over_speed: frozenset[Place]
    too_slow: frozenset[Place]
    dragged: frozenset[Place]
    stale: frozenset[Place]
    broken: frozenset[tuple[Place, str]]
    unusable: frozenset[Place]
    opened: frozenset[Place]
    couplings: tuple[Coupling, ...]
    drives: tuple[Drive, ...]

    @property
    def loop_count(self) -> int:
        """How many loops there are that do not follow from others, in pairs of parts."""
        pairs = {(coupling.a, coupling.b) for coupling in self.couplings}
        return len(pairs) - len(self.members) + len(self.zones)
