"""What every zone does and what every network can give and asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction

import numpy as np
import numpy.typing as npt


class State(IntEnum):
    """State of a network.

    It is the first that holds of: conflicting by loop, idle, conflicting by governors, conflicting
    by movers, overloaded, turning.
    """

    TURNING = 0
    IDLE = 1
    OVERLOADED = 2
    CONFLICTING = 3

    def __str__(self) -> str:
        """Write the state as it stands in output."""
        return self.name.lower()


class Conflict(IntEnum):
    """Why no speed but zero satisfies a network."""

    NONE = 0
    LOOP = 1
    MOVERS = 2
    GOVERNORS = 3

    def __str__(self) -> str:
        """Write the kind of conflict as it stands in output."""
        return self.name.lower()


class Motion(IntEnum):
    """What a zone does.

    It turns; rests, since nothing drives it; is locked by couplings or movers that contradict
    each other; or is out of range, since its speeds spread too far to be written.
    """

    TURNS = 0
    RESTS = 1
    LOCKED = 2
    OUT_OF_RANGE = 3


@dataclass(frozen=True)
class Clash:
    """A contradiction that a governor has part in.

    Parameters
    ----------
    network, zone
        Where it is.
    conflict
        GOVERNORS: two governors ask the zone for different speeds, or one does whose both sides
        lie in it, or no assignment of speeds comes to rest. MOVERS: a mover pushes against the
        speed that a governor sets.
    first
        A governor.
    second
        The other governor or the mover; the same governor where it contradicts itself.
    """

    network: int
    zone: int
    conflict: Conflict
    first: int
    second: int


@dataclass(frozen=True, eq=False)
class Solution:
    """Exact speeds and budgets.

    Parameters
    ----------
    motion
        `Motion` of each zone, int8.
    leader
        The active mover whose rating sets the zone's speed, int32; -1 where none does. The
        governor that sets it, in a governed zone.
    opposing
        An active mover of the opposite sense in a zone locked by movers, int32; -1 elsewhere.
        `leader` is then one of the other sense.
    speed
        Index into `speeds` of each part, int32, shape (n,); -1 where the part has no speed (its
        network is idle or conflicting, or its zone is locked or out of range). A zone at rest in
        a driven network has speed 0. Speeds are about
        the positive world axis of the part's front; in an overloaded network they are what they
        would be.
    speeds
        The distinct speeds in rpm.
    state, conflict
        `State` and `Conflict` of each network, int8.
    capacity, demand
        Index into `powers` of each network, int32; demand is -1 where it is unknown.
    powers
        The distinct amounts of power (torque times rpm).
    cut
        Networks that a coupling may join to something not read, or with a machine whose torque
        is unusable, bool.
    active
        Movers that drive: rated speed nonzero and not switched off, bool, shape (n,).
    dragged
        Active movers whose shaft turns faster than, or not as, they are rated, bool, shape (n,).
    clashes
        Contradictions that governors have part in, sorted by network and zone.
    """

    motion: npt.NDArray[np.int8]
    leader: npt.NDArray[np.int32]
    opposing: npt.NDArray[np.int32]
    speed: npt.NDArray[np.int32]
    speeds: tuple[Fraction, ...]
    state: npt.NDArray[np.int8]
    conflict: npt.NDArray[np.int8]
    capacity: npt.NDArray[np.int32]
    demand: npt.NDArray[np.int32]
    powers: tuple[Fraction, ...]
    cut: npt.NDArray[np.bool_]
    active: npt.NDArray[np.bool_]
    dragged: npt.NDArray[np.bool_]
    clashes: tuple[Clash, ...]

    def speed_rpm(self, part: int) -> Fraction | None:
        """Return a part's speed in rpm about its positive world axis, or None."""
        index = self.speed[part]
        return None if index < 0 else self.speeds[int(index)]

    def capacity_power(self, network: int) -> Fraction:
        """Return the power that a network's active movers can give."""
        return self.powers[int(self.capacity[network])]

    def demand_power(self, network: int) -> Fraction | None:
        """Return the power that a network's machines ask for, or None where it is unknown."""
        index = self.demand[network]
        return None if index < 0 else self.powers[int(index)]
