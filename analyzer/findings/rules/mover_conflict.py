"""Mover conflict: movers of one zone push opposite ways, or ask for speeds that may not differ."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case
from analyzer.findings.clashes import clash_chain, set_rpm
from analyzer.findings.findings import Finding
from analyzer.findings.graph import neighbours_of
from analyzer.findings.make import network_finding
from analyzer.findings.paths import shortest_path
from analyzer.findings.witness import witness_of
from analyzer.solution.solution import Conflict

NAME: Final = "mover-conflict"


def find_mover_conflicts(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each zone that its movers lock, or a mover against a governor.

    The witness is the shortest path between two movers that contradict each other, or from the
    governor to the mover that pushes against it; measured is what the first of the two makes the
    second turn at, the limit is what the second one asks for, and
    the count is of the zone's active movers. More movers can settle nothing, so a cut changes
    nothing.
    """
    yield from _between_movers(case, level)
    yield from _against_governors(case, level)


def _between_movers(case: Case, level: Level) -> Iterator[Finding]:
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


def _against_governors(case: Case, level: Level) -> Iterator[Finding]:
    for clash in case.solution.clashes:
        if clash.conflict is not Conflict.MOVERS or not case.selected[clash.network]:
            continue
        chain = clash_chain(case, clash)
        assert chain is not None, "a governor's port leads into the zone that it sets"
        witness = witness_of(case, chain)
        asked = _rated_rpm(case, clash.second)
        made = set_rpm(case, clash.first) * witness.product
        yield network_finding(
            case,
            NAME,
            level,
            clash.network,
            [witness.parts[0], witness.parts[-1]],
            count=len(_active_movers(case, clash.zone)),
            # A governor that follows a sense sets it against the mover's, or nothing would clash.
            measured=-abs(made) if asked > 0 else abs(made),
            limit=asked,
            unit="rpm",
            witness=witness,
            names=[("governor", 1)],
        )


def _active_movers(case: Case, zone: int) -> list[int]:
    members = case.networks.members(int(case.zone_network[zone]))
    here = case.solution.active[members] & (case.networks.zone[members] == zone)
    movers: list[int] = members[here].tolist()
    return movers


def _asked_of_root(case: Case, zone: int) -> dict[int, Fraction]:
    """Return the speed that each active mover of a zone asks of the zone's root, in rpm."""
    potentials, potential = case.networks.potentials, case.networks.potential
    return {
        part: _rated_rpm(case, part) / potentials[int(potential[part])]
        for part in _active_movers(case, zone)
    }


def _wishes(asks: Mapping[int, Fraction]) -> Mapping[int, Hashable]:
    """Return what must not differ: the senses where they do, else the speeds."""
    senses = {part: speed > 0 for part, speed in asks.items()}
    return senses if len(set(senses.values())) > 1 else asks


def _rated_rpm(case: Case, part: int) -> Fraction:
    rated = case.parts.number(part, Field.RATED_RPM)
    assert rated is not None, "an active mover has a rated speed"
    return rated
