"""Settle one network's governors: which way its zones turn, how fast, and what contradicts that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.solution.edges import Edge
from analyzer.solution.movers import Leads, mover_senses
from analyzer.solution.reach import Reach
from analyzer.solution.solution import Clash, Conflict


@dataclass(frozen=True, eq=False)
class Zones:
    """The zones of a save, and what the movers make of them."""

    parts: Parts
    networks: Networks
    leads: Leads
    in_range: npt.NDArray[np.bool_]


class Settling:
    """The signs and speeds of one network's zones, given which of them turn.

    Parameters
    ----------
    zones
        The zones, and what the movers make of them.
    edges
        The network's governors.
    reach
        Which of its zones turn, and which governors act.
    movers
        Active movers of each of its zones that has some, ascending.
    """

    def __init__(
        self,
        zones: Zones,
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
            # Only rings of governors that follow each other are left, and what they feed: a mover
            # in a ring that no other ring feeds decides. Without one that ring would not turn.
            start = next(zone for zone in self._rings(left) if zone in self._movers)
            self._signs[start] = self._mover_sign(start)
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

    def _rings(self, left: list[int]) -> list[int]:
        """Return those of the zones left whose ring nothing outside it feeds, ascending."""
        import networkx as nx

        feeds = nx.DiGraph()
        feeds.add_nodes_from(left)
        feeds.add_edges_from(
            (edge.driving, edge.driven)
            for edge in self._reach.firing
            if edge.driving in feeds and edge.driven in feeds
        )
        rings = nx.condensation(feeds)
        return sorted(
            zone
            for ring, count in rings.in_degree()
            if not count
            for zone in rings.nodes[ring]["members"]
        )

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
        return self._sense(int(self._zones.leads.leader[zone]))

    def _sense(self, mover: int) -> int:
        forwards = mover_senses(self._zones.parts, self._zones.networks, np.array([mover]))
        return 1 if forwards[0] else -1
