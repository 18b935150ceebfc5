"""Which zones governors turn, how fast, and where they contradict each other or a mover.

A governor fixes no ratio: its port turns at a set speed whatever the part's own speed. A zone turns
if it has an active mover or if a turning zone drives it through a governor; the set speed outranks
the movers of the driven zone. Nothing passes backward.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.couplings.couplings import Couplings
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.solution.edges import Edge, find_edges
from analyzer.solution.movers import Leads
from analyzer.solution.reach import find_reach
from analyzer.solution.settle import Settling, Zones
from analyzer.solution.solution import Clash, Conflict


@dataclass(frozen=True)
class Governance:
    """What governors make of the zones.

    Parameters
    ----------
    root_rpm
        Speed of the root of each zone that a governor sets; 0 for a zone held at rest.
    setter
        The governor that sets it, by zone.
    clashes
        Contradictions, sorted.
    """

    root_rpm: Mapping[int, Fraction]
    setter: Mapping[int, int]
    clashes: tuple[Clash, ...]


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
        for edge in find_edges(parts, couplings, networks, in_range)
        if int(networks.network[edge.governor]) not in locked
    ]
    clashes: list[Clash] = []
    root_rpm: dict[int, Fraction] = {}
    setter: dict[int, int] = {}
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
        run = Settling(Zones(parts, networks, leads, in_range), group, reach, movers)
        run.settle()
        root_rpm.update(run.root_rpm)
        setter.update(run.setter)
        clashes += run.clashes(network)
    order = sorted(
        clashes, key=lambda clash: (clash.network, clash.zone, clash.conflict, clash.first)
    )
    return Governance(root_rpm, setter, tuple(order))


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
