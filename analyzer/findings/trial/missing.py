"""Neighbours that turn in step without a coupling, and what the catalogue lacks that couples them.

Parts of two networks may turn alike because their movers do. What tells is a network without an
active mover that the records show turning: something drives it that the catalogue does not know.
"""

from __future__ import annotations

from itertools import product
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Catalogues
from analyzer.couplings.couplings import Couplings
from analyzer.couplings.index import SiteIndex
from analyzer.findings.trial.accuse import Joint, accuse
from analyzer.findings.trial.lacks import suggest_lacks
from analyzer.findings.trial.offers import Offers, offers_of
from analyzer.findings.trial.pairs import Readings
from analyzer.findings.trial.trial import FEW_PAIRS, InStep, Suspect
from analyzer.findings.trial.weigh import Case, iter_cases
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.solution.solution import Solution

_Ints: TypeAlias = npt.NDArray[np.int64]
_Bools: TypeAlias = npt.NDArray[np.bool_]

#: How far apart neighbours may lie along each axis, in blocks.
REACH_BLOCKS: Final = 2
#: Most parts of driverless networks whose neighbours are looked at, in order of position.
MOST_ORPHANS: Final = 50_000
#: Most lacks that are weighed against each other.
MOST_LACKS: Final = 64


def find_missing(
    parts: Parts,
    couplings: Couplings,
    networks: Networks,
    solution: Solution,
    readings: Readings,
) -> tuple[tuple[InStep, ...], tuple[Suspect, ...]]:
    """Return neighbours in step without a coupling, and what the catalogue seems to lack.

    Parameters
    ----------
    parts, couplings, networks, solution
        The output of each stage.
    readings
        The recorded speeds.

    Returns
    -------
    in_step, suspects
        Sorted; and the lacks that explain it with the fewest additions, that which explains most
        first. A save without a driverless network that turned gives none of either.
    """
    driverless = _driverless(networks, solution)
    orphan = readings.turning & driverless[networks.network]
    if not orphan.any():
        return (), ()
    one, other = _neighbours(parts, networks, readings, orphan, couplings)
    counted = [(n, lack) for lack, n in suggest_lacks(parts, one, other) if n >= FEW_PAIRS]
    counted.sort(key=lambda row: (row[1].charge == "no-offset", -row[0], row[1]))
    lacks = tuple(lack for _, lack in counted[: 4 * MOST_LACKS])
    if not lacks:
        return (), ()
    offers = offers_of(parts, lacks)
    evidence = _is_evidence(offers, networks, orphan, couplings, readings)
    cases = list(iter_cases(lacks, offers, networks, readings, evidence))
    in_step = _once_a_pair(
        [_in_step(parts.catalogues, case) for case in cases if case.lack.charge == "no-offset"]
    )
    joint = Joint(np.arange(len(networks)), driverless)
    return in_step, tuple(accuse(parts.catalogues, joint, cases[:MOST_LACKS]))


def _driverless(networks: Networks, solution: Solution) -> _Bools:
    """Return the networks without an active mover, as far as that can be told."""
    driverless = ~solution.cut
    driverless[networks.network[solution.active]] = False
    return driverless


def _neighbours(
    parts: Parts,
    networks: Networks,
    readings: Readings,
    orphan: _Bools,
    couplings: Couplings,
) -> tuple[_Ints, _Ints]:
    """Return each pair of turning parts near each other of which one is an orphan, once.

    Pairs of one network are left out, and those that a switch may couple.
    """
    rows = np.flatnonzero(orphan)[:MOST_ORPHANS]
    turning = np.flatnonzero(readings.turning)
    index = SiteIndex(parts.dimension[turning], parts.xyz[turning])
    steps = range(-REACH_BLOCKS, REACH_BLOCKS + 1)
    found = [np.empty((0, 2), np.int64)]
    for step in product(steps, repeat=3):
        asked, site = index.pairs_at(parts.dimension[rows], parts.xyz[rows] + np.array(step))
        one, other = rows[asked], turning[site]
        apart = networks.network[one] != networks.network[other]
        found.append(np.stack([one[apart], other[apart]], axis=1))
    pairs = np.sort(np.concatenate(found), axis=1)
    distinct, _ = unique_rows(*pairs.T)
    one, other = distinct.reshape(-1, 2).T
    free = ~_is_listed(couplings, len(parts), one, other)
    return one[free], other[free]


def _is_listed(couplings: Couplings, count: int, one: _Ints, other: _Ints) -> _Bools:
    """Return which pairs have a coupling in some state of their switches."""
    listed = couplings.a.astype(np.int64) * count + couplings.b
    found: _Bools = np.isin(np.minimum(one, other) * count + np.maximum(one, other), listed)
    return found


def _is_evidence(
    offers: Offers,
    networks: Networks,
    orphan: _Bools,
    couplings: Couplings,
    readings: Readings,
) -> _Bools:
    """Return which offered pairs nothing but the lack would explain."""
    a, b = offers.a, offers.b
    turning = readings.turning[a] & readings.turning[b]
    apart = networks.network[a] != networks.network[b]
    listed = _is_listed(couplings, len(orphan), a, b)
    found: _Bools = turning & apart & (orphan[a] | orphan[b]) & ~listed
    return found


def _in_step(catalogues: Catalogues, case: Case) -> InStep:
    lack = case.lack
    return InStep(
        type=catalogues.types[lack.type].block,
        other=catalogues.types[lack.other].block,
        at=lack.at,
        ratio=case.fits,
        pairs=case.pairs,
    )


def _once_a_pair(rows: list[InStep]) -> tuple[InStep, ...]:
    """Return the rows sorted, without those that tell of the same pairs from the other part."""
    kept: list[InStep] = []
    for row in sorted(rows, key=lambda row: (row.type, row.other, tuple(-step for step in row.at))):
        turned = (row.other, row.type, 1 / row.ratio, row.pairs)
        if all((one.type, one.other, one.ratio, one.pairs) != turned for one in kept):
            kept.append(row)
    return tuple(sorted(kept))
