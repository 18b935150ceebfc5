"""The fewest lacks that explain all that turns in step without a coupling."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import SIDES
from analyzer.catalogue.catalogue import Catalogues
from analyzer.findings.trial.lacks import Lack
from analyzer.findings.trial.trial import FEW_PAIRS, Entry, Suspect
from analyzer.findings.trial.weigh import Case

_Ints: TypeAlias = npt.NDArray[np.int64]
_Bools: TypeAlias = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Joint:
    """Networks as lacks join them: the group of each, and whether it has no mover, by network."""

    group: _Ints
    driverless: _Bools

    def left(self, case: Case) -> int:
        """Return how many of the pairs that a lack explains nothing else does so far."""
        return int(self._unexplained(case).sum())

    def finds_mover(self, case: Case) -> bool:
        """Tell whether a lack joins most of what it is left to explain to a mover.

        What turns in step and still has no mover is driven by something else that is not known.
        """
        left = self._unexplained(case)
        driven = left & ~self.with_case(case).driverless[case.joined[:, 0]]
        return int(driven.sum()) >= max(FEW_PAIRS, int(left.sum()) / 2)

    def _unexplained(self, case: Case) -> _Bools:
        one, other = case.joined.T
        apart = self.group[one] != self.group[other]
        found: _Bools = apart & (self.driverless[one] | self.driverless[other])
        return found

    def with_case(self, case: Case) -> Joint:
        """Return the networks joined by what a lack explains."""
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import connected_components

        count = len(self.group)
        ends = self.group[case.joined]
        ones = np.ones(len(ends), np.int8)
        graph = coo_array((ones, (ends[:, 0], ends[:, 1])), shape=(count, count))
        groups = connected_components(graph, directed=False)[1].astype(np.int64)[self.group]
        driven = np.zeros(count, bool)
        driven[groups[~self.driverless]] = True
        return Joint(groups, ~driven[groups])


def accuse(catalogues: Catalogues, joint: Joint, cases: list[Case]) -> Iterator[Suspect]:
    """Yield the fewest lacks that leave nothing in step unexplained.

    What one lack joins turns in step all over: parts that are neighbours by chance too. So the
    lack is chosen that leaves least to any other, and the rest is looked at again.
    """
    while cases := [case for case in cases if joint.finds_mover(case)]:
        left = [_left_to_others(joint.with_case(case), case, cases) for case in cases]
        best = [case for case, rest in zip(cases, left, strict=True) if rest == min(left)]
        best = [case for case in best if case.lack.charge != "no-offset"] or best
        best = [case for case in best if not _is_mirrored(case.lack, best)]
        entries = {_entry(catalogues, case) for case in best}
        strongest = max(best, key=lambda case: case.pairs)
        joins = np.unique(np.concatenate([case.joined for case in best])).tolist()
        yield Suspect(tuple(sorted(entries)), strongest.pairs, strongest.of, tuple(joins))
        for case in best:
            joint = joint.with_case(case)
        cases = [case for case in cases if case not in best]


def _is_mirrored(lack: Lack, cases: list[Case]) -> bool:
    """Tell whether a lack between parts of one type is among the cases, seen from its other part.

    A part's own direction may be another one's opposite, so both can be there.
    """
    x, y, z = lack.at
    mirrored = replace(lack, at=(-x, -y, -z))
    return lack.other == lack.type and mirrored > lack and any(c.lack == mirrored for c in cases)


def _left_to_others(joint: Joint, chosen: Case, cases: list[Case]) -> int:
    left = (joint.left(other) for other in cases if other is not chosen)
    return sum(pairs for pairs in left if pairs >= FEW_PAIRS)


def _entry(catalogues: Catalogues, case: Case) -> Entry:
    lack = case.lack
    offset = lack.charge == "no-offset"
    return Entry(
        type=catalogues.types[lack.type].block,
        charge=lack.charge,
        port=SIDES[lack.side] if lack.charge == "no-end" else lack.port,
        other=catalogues.types[lack.other].block if offset else "",
        at=lack.at if offset else None,
        fits=None if lack.charge == "no-placement" or lack.axis else case.fits,
    )
