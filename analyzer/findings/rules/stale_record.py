"""Stale record: a part's recorded speed is not the one that its network now gives it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding
from analyzer.solution.solution import Motion, State

NAME: Final = "stale-record"

_Ints: TypeAlias = npt.NDArray[np.int64]
_Bools: TypeAlias = npt.NDArray[np.bool_]


def find_stale_records(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network with a recorded speed that is not the solved one.

    Measured is the recorded speed that lies furthest off, the limit is the solved one. Where
    something beyond a cut may drive the network it is a note. Nothing is said of networks whose
    records a mismatch of the catalogue explains, nor where movers are assumed to be active that
    are not.
    """
    if case.policy.assume_active or not len(case.parts.recorded.part):
        return
    part, rank, speeds = _stale(case)
    for network, places in iter_by_network(case, part, rank):
        recorded, solved = speeds[int(rank[places[0]])]
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, part[places]),
            count=len(places),
            in_cut="note",
            measured=recorded,
            limit=solved,
            unit="rpm",
        )


def _stale(case: Case) -> tuple[_Ints, _Ints, list[tuple[Fraction, Fraction]]]:
    """Return the parts with a stale record, the rank of each, and (recorded, solved) by rank.

    Rank 0 lies furthest off.
    """
    records, networks = case.parts.recorded, case.networks
    network = networks.network[records.part]
    rows = np.flatnonzero(_judged(case)[records.part] & ~_explained(case)[network])
    part = records.part[rows]
    stands = case.solution.state[networks.network[part]] != State.TURNING
    distinct, number = unique_rows(
        records.stored[rows],
        records.unit[rows],
        records.tag[rows],
        case.solution.speed[part],
        stands,
    )
    from analyzer.findings.trial.width import Reading

    numbers = case.parts.numbers
    stale: dict[int, tuple[Fraction, Fraction]] = {}
    for place, (stored, unit, tag, speed, still) in enumerate(distinct.tolist()):
        reading = Reading(numbers[stored], numbers[unit], tag)
        solved = Fraction(0) if speed < 0 else case.solution.speeds[speed]
        if not reading.agrees(solved) and not (still and reading.agrees(Fraction(0))):
            stale[place] = (reading.rpm, solved)
    worst = sorted(set(stale.values()), key=lambda pair: (-abs(pair[0] - pair[1]), pair))
    rank_of = {pair: rank for rank, pair in enumerate(worst)}
    rank = np.full(len(distinct), -1, np.int64)
    for place, pair in stale.items():
        rank[place] = rank_of[pair]
    ranks = rank[number]
    return part[ranks >= 0].astype(np.int64), ranks[ranks >= 0], worst


def _judged(case: Case) -> _Bools:
    """Return the parts whose records are judged: of the networks asked about, within range."""
    in_range = case.solution.motion[case.networks.zone] != Motion.OUT_OF_RANGE
    judged: _Bools = case.selected[case.networks.network] & in_range
    return judged


def _explained(case: Case) -> _Bools:
    """Return the networks whose records a mismatch of the catalogue explains."""
    explained = np.zeros(len(case.networks), bool)
    named = set(case.trial.types)
    of_type = np.array([entry.block in named for entry in case.parts.catalogues.types], bool)
    explained[case.networks.network[of_type[case.parts.type]]] = True
    for suspect in case.trial.proven:
        explained[list(suspect.joins)] = True
    return explained
