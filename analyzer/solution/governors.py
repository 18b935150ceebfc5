"""Which zones governors turn, how fast, and where they contradict each other or a mover.

A governor fixes no ratio: its port turns at a set speed whatever the part's own speed. A zone turns
if it has an active mover or if a turning zone drives it through a governor; the set speed outranks
the movers of the driven zone. Nothing passes backward.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import Couplings
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.solution.movers import Leads, mover_senses
from analyzer.solution.reach import Reach, find_reach
from analyzer.solution.solution import Clash, Conflict


@dataclass(frozen=True)
class Edge:
    """One engaged governor between two zones.

    Parameters
    ----------
    governor
        Row of the governor.
    driving, driven
        Zone of the governor, and zone at its port.
    root_rpm
        Speed the driven zone's root needs, in rpm; with its magnitude alone meaning something
        where the driven zone is out of range.
    follow_sign
        None for a set speed with a sign of its own; else +1 or -1: sign of `root_rpm` per sign
        of the driving zone's root.
    """

    governor: int
    driving: int
    driven: int
    root_rpm: Fraction
    follow_sign: int | None

    def asks(self, root_signs: Mapping[int, int]) -> Fraction | None:
        """Return what the edge asks of the driven root, or None while a sign is not known."""
        if self.follow_sign is None or not self.root_rpm:
            return self.root_rpm
        sign = root_signs.get(self.driving)
        return None if sign is None else abs(self.root_rpm) * self.follow_sign * sign


@dataclass(frozen=True)
class Governance:
    """What governors make of the zones.

    Parameters
    ----------
    root_rpm
        Speed of the root of each zone that a governor sets; 0 for a zone held at rest.
    setter
        The governor that sets it, by zone.
    turning
        Zones that turn because a governor drives them.
    clashes
        Contradictions, sorted.
    """

    root_rpm: Mapping[int, Fraction]
    setter: Mapping[int, int]
    turning: frozenset[int]
    clashes: tuple[Clash, ...]


@dataclass(frozen=True, eq=False)
class _Zones:
    parts: Parts
    networks: Networks
    leads: Leads
    in_range: npt.NDArray[np.bool_]


def govern(
    parts: Parts,
    couplings: Couplings,
    networks: Networks,
    leads: Leads,
    *,
    active: npt.NDArray[np.bool_],
    consistent: npt.NDArray[np.bool_],
    in_range: npt.NDArray[np.bool_],
) -> Governance:
    """Follow the governors from the zones that movers turn.

    Parameters
    ----------
    parts, couplings, networks, leads
        The mechanism and what the movers make of it.
    active
        Movers that drive, bool, shape (n,).
    consistent, in_range
        Zones whose couplings agree and whose speeds can be written, bool, shape (z,). Networks
        with a zone that contradicts itself are left alone: nothing in them turns.

    Returns
    -------
    Governance
        Without governors, nothing.

    Notes
    -----
    Governors are few: this walks edges one by one, at most (zones + 2) times.
    """
    locked = set(networks.network[networks.root[~consistent]].tolist())
    edges = [
        edge
        for edge in _edges(parts, couplings, networks, in_range)
        if int(networks.network[edge.governor]) not in locked
    ]
    clashes: list[Clash] = []
    root_rpm: dict[int, Fraction] = {}
    setter: dict[int, int] = {}
    turning: set[int] = set()
    for network, group in _by_network(networks, edges).items():
        movers = _movers_of(networks, active, group)
        reach = find_reach(
            [edge for edge in group if edge.driving != edge.driven], frozenset(movers)
        )
        if reach is None:
            first = min(edge.governor for edge in group)
            zone = int(networks.zone[first])
            clashes.append(Clash(network, zone, Conflict.GOVERNORS, first, first))
            continue
        run = _Run(_Zones(parts, networks, leads, in_range), group, reach, movers)
        run.settle()
        root_rpm.update(run.root_rpm)
        setter.update(run.setter)
        turning.update(reach.turning)
        clashes += run.clashes(network)
    order = sorted(
        clashes, key=lambda clash: (clash.network, clash.zone, clash.conflict, clash.first)
    )
    return Governance(root_rpm, setter, frozenset(turning), tuple(order))


def outrank(leads: Leads, governed: Governance, *, in_range: npt.NDArray[np.bool_]) -> Leads:
    """Put what governors set in place of what movers ask in the zones that they set."""
    leader, opposing, asked = leads.leader.copy(), leads.opposing.copy(), leads.asked.copy()
    asks = list(leads.asks)
    for zone, rpm in sorted(governed.root_rpm.items()):
        leader[zone] = governed.setter[zone]
        opposing[zone] = -1
        asked[zone] = len(asks) if in_range[zone] else -1
        asks.append(rpm)
    return Leads(leader=leader, opposing=opposing, asked=asked, asks=tuple(asks))


class _Run:
    """The signs and speeds of one network's zones, given which of them turn."""

    def __init__(
        self,
        zones: _Zones,
        edges: list[Edge],
        reach: Reach[Edge],
        movers: Mapping[int, npt.NDArray[np.int64]],
    ) -> None:
        self._zones, self._edges, self._reach, self._movers = zones, edges, reach, movers
        self._firing = frozenset(reach.firing)
        self._signs: dict[int, int] = {}
        self.root_rpm: dict[int, Fraction] = {}
        self.setter: dict[int, int] = {}

    def settle(self) -> None:
        """Find the sign of every turning zone, then the speed that governors set."""
        fed = {edge.driven for edge in self._reach.firing}
        free = sorted(self._reach.turning - fed)
        self._signs = {zone: self._mover_sign(zone) for zone in free}
        while True:
            self._spread()
            left = sorted(zone for zone in self._reach.turning if zone not in self._signs)
            if not left:
                break
            # Only rings of governors that follow each other are left: a mover in one decides.
            start = next((zone for zone in left if zone in self._movers), left[0])
            self._signs[start] = self._mover_sign(start) if start in self._movers else 1
        for edge in self._reach.firing:
            asked = edge.asks(self._signs)
            assert asked is not None
            self.root_rpm.setdefault(edge.driven, asked)
            self.setter.setdefault(edge.driven, edge.governor)

    def clashes(self, network: int) -> list[Clash]:
        """Check every governor and mover against the speeds found."""
        found = []
        for edge in self._edges:
            if not self._agrees(edge):
                other = self.setter.get(edge.driven, edge.governor)
                first, second = sorted((edge.governor, other))
                found.append(Clash(network, edge.driven, Conflict.GOVERNORS, first, second))
        for zone, rpm in self.root_rpm.items():
            for mover in self._movers.get(zone, np.empty(0, np.int64)).tolist() if rpm else ():
                if self._sense(mover) != (1 if rpm > 0 else -1):
                    governor = self.setter[zone]
                    found.append(Clash(network, zone, Conflict.MOVERS, governor, mover))
                    break
        return found

    def _spread(self) -> None:
        changed = True
        while changed:
            changed = False
            for edge in self._reach.firing:
                asked = edge.asks(self._signs)
                if edge.driven not in self._signs and asked:
                    self._signs[edge.driven] = 1 if asked > 0 else -1
                    changed = True

    def _agrees(self, edge: Edge) -> bool:
        """Tell whether the speed that an edge asks for is the one its driven zone has."""
        if edge.driving == edge.driven:
            return self._meets_own_zone(edge)
        if edge not in self._firing:
            return True
        asked, found = edge.asks(self._signs), self.root_rpm[edge.driven]
        # A ring whose governors turn its own sense round contradicts the sense it was given.
        if found * self._signs.get(edge.driven, 0) < 0:
            return False
        if asked is None or not asked or not found or self._zones.in_range[edge.driven]:
            return asked == found
        return (asked > 0) == (found > 0)

    def _meets_own_zone(self, edge: Edge) -> bool:
        zone = edge.driven
        if zone not in self._reach.turning or not self._zones.in_range[zone]:
            return True
        led = self.root_rpm.get(zone)
        if led is None:
            number = int(self._zones.leads.asked[zone])
            if number < 0:
                return True
            led = self._zones.leads.asks[number]
        return edge.asks({zone: 1 if led > 0 else -1}) == led

    def _mover_sign(self, zone: int) -> int:
        leader = int(self._zones.leads.leader[zone])
        return self._sense(leader) if leader >= 0 else 1

    def _sense(self, mover: int) -> int:
        forwards = mover_senses(self._zones.parts, self._zones.networks, np.array([mover]))
        return 1 if forwards[0] else -1


def _edges(
    parts: Parts, couplings: Couplings, networks: Networks, in_range: npt.NDArray[np.bool_]
) -> Iterable[Edge]:
    """Yield the governors whose set speed can be used."""
    table = couplings.governed
    rows = networks.governors
    for row, driving, driven in zip(
        rows.governed.tolist(), rows.driving.tolist(), rows.driven.tolist(), strict=True
    ):
        governor, other = int(table.part[row]), int(table.other[row])
        set_rpm = parts.number(governor, Field.SET_RPM)
        entry = parts.catalogues.types[int(parts.type[governor])].governor
        if set_rpm is None or entry is None:
            continue
        port = int(table.port[row])
        factor = parts.number(governor, Field(port)) if port < 6 else Fraction(1)
        assert factor is not None
        ratio = couplings.ratios[int(table.ratio[row])]
        index = int(networks.potential[other])
        sign = int(networks.potentials.sign[index])
        per_root = networks.potentials[index] if in_range[driven] else Fraction(sign)
        root_rpm = set_rpm / abs(factor) * ratio / per_root
        follow = None
        if entry.follows:
            own = int(networks.potentials.sign[int(networks.potential[governor])])
            follow = own * (1 if ratio > 0 else -1) * sign
        yield Edge(governor, driving, driven, root_rpm, follow)


def _by_network(networks: Networks, edges: list[Edge]) -> dict[int, list[Edge]]:
    groups: dict[int, list[Edge]] = {}
    for edge in edges:
        groups.setdefault(int(networks.network[edge.governor]), []).append(edge)
    return groups


def _movers_of(
    networks: Networks, active: npt.NDArray[np.bool_], edges: list[Edge]
) -> dict[int, npt.NDArray[np.int64]]:
    """Return the active movers of every zone of the edges' network that has some."""
    members = networks.members(int(networks.network[edges[0].governor]))
    movers = members[active[members]].astype(np.int64)
    zones = networks.zone[movers]
    return {int(zone): movers[zones == zone] for zone in np.unique(zones)}
