"""Mover conflict: movers of one zone push opposite ways, or ask for speeds that may not differ."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.graph import neighbours_of
from analyzer.findings.make import network_finding
from analyzer.findings.paths import shortest_path
from analyzer.findings.witness import witness_of

NAME: Final = "mover-conflict"


def find_mover_conflicts(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each zone that its movers lock.

    The witness is the shortest path between two movers that contradict each other; measured is
    what the first one makes the second turn at, the limit is what the second one asks for, and
    the count is of the zone's active movers. More movers can settle nothing, so a cut changes
    nothing.
    """
    for zone in np.flatnonzero(case.solution.opposing >= 0).tolist():
        network = int(case.zone_network[zone])
        if not case.selected[network]:
            continue
        asks = _asked_of_root(case, zone)
        neighbours = neighbours_of(case.couplings, case.couplings_by_zone[zone])
        path = shortest_path(neighbours, _wishes(asks))
        assert path is not None, "a zone is connected, and its movers differ"
        witness = witness_of(case, path)
        first, last = path.parts[0], path.parts[-1]
        yield network_finding(
            case,
            NAME,
            level,
            network,
            [witness.parts[0], witness.parts[-1]],
            count=len(asks),
            measured=_rated_rpm(case, first) * witness.product,
            limit=_rated_rpm(case, last),
            unit="rpm",
            witness=witness,
        )


def _asked_of_root(case: Case, zone: int) -> dict[int, Fraction]:
    """Return the speed that each active mover of a zone asks of the zone's root, in rpm."""
    members = case.networks.members(int(case.zone_network[zone]))
    here = members[case.solution.active[members] & (case.networks.zone[members] == zone)]
    potentials, potential = case.networks.potentials, case.networks.potential
    return {
        part: _rated_rpm(case, part) / potentials[int(potential[part])] for part in here.tolist()
    }


def _wishes(asks: Mapping[int, Fraction]) -> Mapping[int, Hashable]:
    """Return what must not differ: the senses where they do, else the speeds."""
    senses = {part: speed > 0 for part, speed in asks.items()}
    return senses if len(set(senses.values())) > 1 else asks


def _rated_rpm(case: Case, part: int) -> Fraction:
    rated = case.parts.number(part, Field.RATED_RPM)
    assert rated is not None, "an active mover has a rated speed"
    return rated
