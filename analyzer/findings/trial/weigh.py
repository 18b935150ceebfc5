"""Which lacks the recorded speeds bear out: all that a lack would couple turns as it then would."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import unique_rows
from analyzer.findings.trial.lacks import Lack
from analyzer.findings.trial.offers import Offers
from analyzer.findings.trial.pairs import Observation, Readings
from analyzer.findings.trial.trial import FEW_PAIRS, LEAST_AGREEMENT
from analyzer.findings.trial.width import Span, ratio_span, simplest_between, telling_spans
from analyzer.networks.networks import Networks

_Ints: TypeAlias = npt.NDArray[np.int64]
_Bools: TypeAlias = npt.NDArray[np.bool_]
#: An observation, whether the unknown number enters its ratio, and whether it is evidence.
_Seen: TypeAlias = tuple[Observation, bool, bool]


@dataclass(frozen=True, eq=False)
class Case:
    """A lack that the records bear out.

    Parameters
    ----------
    lack
        What is lacking.
    fits
        Its number: the factor, the teeth, or the ratio.
    pairs, of
        Pairs that it explains, and all that it would couple.
    joined
        Networks of each pair that it explains, shape (pairs, 2).
    """

    lack: Lack
    fits: Fraction
    pairs: int
    of: int
    joined: _Ints


def iter_cases(
    lacks: tuple[Lack, ...],
    offers: Offers,
    networks: Networks,
    readings: Readings,
    evidence: _Bools,
) -> Iterator[Case]:
    """Yield the lacks with which nearly all that they would couple agrees."""
    of_a, of_b = readings.of_part[offers.a], readings.of_part[offers.b]
    told = (of_a >= 0) & (of_b >= 0)
    turning = readings.turning
    one_rests = told & (turning[offers.a] != turning[offers.b])
    both_turn = told & turning[offers.a] & turning[offers.b]
    order = np.argsort(offers.lack, kind="stable")
    bounds = np.searchsorted(offers.lack[order], np.arange(len(lacks) + 1)).tolist()
    for number, lack in enumerate(lacks):
        rows = order[bounds[number] : bounds[number + 1]]
        if int(evidence[rows].sum()) < FEW_PAIRS:
            continue
        rests = int(one_rests[rows].sum())
        rows = rows[both_turn[rows]]
        columns = (offers.ratio[rows], offers.free[rows], of_a[rows], of_b[rows], evidence[rows])
        distinct, place = unique_rows(*columns)
        counts = np.bincount(place, minlength=len(distinct)).tolist()
        seen = [
            (_observe(offers, readings, row, count), bool(row[1]), bool(row[4]))
            for row, count in zip(distinct.tolist(), counts, strict=True)
        ]
        fits = max(_numbers(lack, seen), key=lambda fits: _agreeing(seen, fits), default=None)
        if fits is None:
            continue
        agrees = [one.agrees(fits if free else 1) for one, free, _ in seen]
        counted = sum(one.count for (one, _, _), agree in zip(seen, agrees, strict=True) if agree)
        explained = rows[np.array(agrees, bool)[place] & evidence[rows]]
        total = len(rows) + rests
        if len(explained) >= FEW_PAIRS and counted >= LEAST_AGREEMENT * total:
            joined = networks.network[np.stack([offers.a[explained], offers.b[explained]], axis=1)]
            yield Case(lack, fits, len(explained), len(explained) + total - counted, joined)


def _observe(offers: Offers, readings: Readings, row: list[int], count: int) -> Observation:
    ratio, _, one, two, _ = row
    low, high = ratio_span(readings.items[one], readings.items[two])
    return Observation(0, 0, offers.ratios[ratio], low, high, count)


def _numbers(lack: Lack, seen: list[_Seen]) -> list[Fraction]:
    """Return the numbers that the lack may have, the simplest of each span that tells."""
    if lack.charge == "no-placement":
        return [Fraction(1)]
    if lack.axis:
        return [Fraction(1), Fraction(-1)]
    spans: Counter[Span] = Counter()
    for one, free, counts in seen:
        if free and counts:
            spans[one.over(one.says)] += one.count
    numbers = [simplest_between(*span) for span in telling_spans(spans)]
    return [one for one in numbers if one > 0 or lack.charge != "no-rim"]


def _agreeing(seen: list[_Seen], fits: Fraction) -> int:
    return sum(one.count for one, free, _ in seen if one.agrees(fits if free else 1))
