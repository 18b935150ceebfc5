"""What the active movers ask of their zones, and which of them leads."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Policy
from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts


@dataclass(frozen=True, eq=False)
class Leads:
    """What the active movers make of each zone.

    Parameters
    ----------
    leader
        The mover that leads, int32, shape (z,); in a zone whose movers contradict each other, one
        side of the contradiction; -1 where no active mover is.
    opposing
        The other side, int32, shape (z,); -1 where the movers agree.
    asked
        Index into `asks` of the speed the leader asks of the zone's root, int64, shape (z,); -1
        where nobody leads or the zone is not judged.
    asks
        The distinct speeds asked of roots, in rpm.
    """

    leader: npt.NDArray[np.int32]
    opposing: npt.NDArray[np.int32]
    asked: npt.NDArray[np.int64]
    asks: tuple[Fraction, ...]


def active_movers(parts: Parts, policy: Policy) -> npt.NDArray[np.bool_]:
    """Tell which parts drive: movers whose rated speed is not zero and that are not switched off.

    A mover whose speed, torque or activity cannot be used does not drive. Where the policy assumes
    every mover active, being switched off does not count.
    """
    types = parts.catalogues.types
    is_mover = np.array([entry.role == "mover" for entry in types], bool)
    may_rest = np.array(
        [entry.active is not None and not policy.assume_active for entry in types], bool
    )
    nonzero = np.array([bool(number) for number in parts.numbers] + [False], bool)
    switched_on = nonzero[parts.column(Field.ACTIVE)] | ~may_rest[parts.type]
    rated, torque = parts.column(Field.RATED_RPM), parts.column(Field.TORQUE)
    active: npt.NDArray[np.bool_] = (
        is_mover[parts.type] & nonzero[rated] & (torque >= 0) & switched_on
    )
    return active


def find_leads(
    parts: Parts,
    networks: Networks,
    policy: Policy,
    *,
    active: npt.NDArray[np.bool_],
    consistent: npt.NDArray[np.bool_],
    in_range: npt.NDArray[np.bool_],
) -> Leads:
    """Find each zone's leading mover and the speed that it asks of the zone's root.

    Parameters
    ----------
    parts, networks, policy
        The mechanism and the rule for unequal movers, if the user sets one.
    active
        Movers that drive, bool, shape (n,).
    consistent
        Zones whose couplings agree, bool, shape (z,); the others have no leader.
    in_range
        Zones whose speeds can be written, bool, shape (z,); in the others only the senses of the
        movers are compared.

    Returns
    -------
    Leads
        Movers of opposite senses contradict each other; movers of one sense and different speeds
        do where the rule says so, else the fastest leads. Ties go to the smallest part.
    """
    zones = len(networks.root)
    leader = np.full(zones, -1, np.int32)
    opposing = np.full(zones, -1, np.int32)
    asked = np.full(zones, -1, np.int64)

    movers = np.flatnonzero(active & consistent[networks.zone])
    zone = networks.zone[movers]
    forwards = mover_senses(parts, networks, movers)
    both = _any_by(zone, forwards, zones) & _any_by(zone, ~forwards, zones)
    first_side = forwards | ~both[zone]
    _mark_first(leader, zone[first_side], movers[first_side])
    _mark_first(opposing, zone[~first_side], movers[~first_side])

    movers = movers[(in_range & ~both)[zone]]
    zone = networks.zone[movers]
    ask, asks = _asks(parts, networks, movers)
    magnitude = _rank([abs(speed) for speed in asks])[ask]
    fastest = _greatest_by(zone, magnitude, zones)
    slowest = -_greatest_by(zone, -magnitude, zones)
    lead = magnitude == fastest[zone]
    _mark_first(leader, zone[lead], movers[lead])
    strict = _strict_zones(parts, networks, policy, movers)
    unequal = (strict & (fastest != slowest))[zone] & (magnitude == slowest[zone])
    _mark_first(opposing, zone[unequal], movers[unequal])
    leads = leader[zone] == movers
    asked[zone[leads]] = ask[leads]
    return Leads(leader=leader, opposing=opposing, asked=asked, asks=asks)


def mover_senses(
    parts: Parts, networks: Networks, movers: npt.NDArray[np.int64]
) -> npt.NDArray[np.bool_]:
    """Tell which movers would turn their zone's root forwards, bool, one a mover."""
    positive = np.array([number > 0 for number in parts.numbers], bool)
    rated = parts.column(Field.RATED_RPM)[movers]
    upright = networks.potentials.sign[networks.potential[movers]] > 0
    senses: npt.NDArray[np.bool_] = positive[rated] == upright
    return senses


def _asks(
    parts: Parts, networks: Networks, movers: npt.NDArray[np.int64]
) -> tuple[npt.NDArray[np.int64], tuple[Fraction, ...]]:
    """Return what each mover asks of its root, as a number of the distinct speeds asked."""
    rated = parts.column(Field.RATED_RPM)
    distinct, number = unique_rows(rated[movers], networks.potential[movers])
    speeds = [
        parts.numbers[speed] / networks.potentials[potential]
        for speed, potential in distinct.tolist()
    ]
    asks = tuple(sorted(set(speeds)))
    place = {speed: index for index, speed in enumerate(asks)}
    return np.array([place[speed] for speed in speeds], np.int64)[number], asks


def _rank(values: list[Fraction]) -> npt.NDArray[np.int64]:
    """Number values by size, equal ones alike."""
    place = {value: index for index, value in enumerate(sorted(set(values)))}
    return np.array([place[value] for value in values], np.int64)


def _strict_zones(
    parts: Parts, networks: Networks, policy: Policy, movers: npt.NDArray[np.int64]
) -> npt.NDArray[np.bool_]:
    """Tell in which zones unequal movers contradict: by the user's rule, else by any mover's."""
    catalogues = parts.catalogues
    strict_type = np.array(
        [
            (policy.unequal_movers or catalogues.sources[entry.source].unequal_movers) == "conflict"
            for entry in catalogues.types
        ],
        bool,
    )
    return _any_by(networks.zone[movers], strict_type[parts.type[movers]], len(networks.root))


def _mark_first(
    slots: npt.NDArray[np.int32], slot: npt.NDArray[np.int32], items: npt.NDArray[np.int64]
) -> None:
    """Put the first of the ascending items of each slot there."""
    slots[slot[::-1]] = items[::-1]


def _greatest_by(
    group: npt.NDArray[np.int32], values: npt.NDArray[np.int64], groups: int
) -> npt.NDArray[np.int64]:
    greatest = np.full(groups, np.iinfo(np.int64).min + 1, np.int64)
    np.maximum.at(greatest, group, values)
    return greatest


def _any_by(
    group: npt.NDArray[np.int32], values: npt.NDArray[np.bool_], groups: int
) -> npt.NDArray[np.bool_]:
    return np.bincount(group[values], minlength=groups) > 0
