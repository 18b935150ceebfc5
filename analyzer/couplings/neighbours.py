"""Couplings of neighbours: ends that face each other, rims that touch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import UNITS
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.tables import Interner, unique_rows
from analyzer.catalogue.catalogue import Port
from analyzer.couplings.batch import Batch
from analyzer.couplings.couplings import Kind
from analyzer.couplings.kinds import PLACEMENTS, rim_bit
from analyzer.couplings.ports import Ports
from analyzer.parts.parts import Parts

_Ints = npt.NDArray[np.int64]


def shaft_couplings(parts: Parts, ports: Ports, ratios: Interner[Fraction]) -> Iterator[Batch]:
    """Join ends that face each other: turn of A's end = minus turn of B's end, outward normals."""
    sites, kinds = ports.sites, ports.kinds
    for face in (0, 2, 4):
        one, two = sites.index.pairs_beside(sites.with_end(face), UNITS[face])
        met = _Met.of(ports, one, two, sites.ends[two] & (1 << (face ^ 1)) != 0)
        distinct, number = unique_rows(
            kinds.factor[met.kind_a, face],
            kinds.sense[met.kind_a],
            kinds.factor[met.kind_b, face ^ 1],
            kinds.sense[met.kind_b],
        )
        of_row = [
            ratios(-(parts.numbers[factor_a] * sense_a) / (parts.numbers[factor_b] * sense_b))
            for factor_a, sense_a, factor_b, sense_b in distinct.tolist()
        ]
        yield met.batch(
            Kind.SHAFT,
            port_a=kinds.side[met.kind_a, face],
            port_b=kinds.side[met.kind_b, face ^ 1],
            ratio=np.array(of_row, np.int32)[number],
        )


def meshes(parts: Parts, ports: Ports, ratios: Interner[Fraction]) -> Iterator[Batch]:
    """Join rims: the tooth counts give the magnitude, the placement gives the sign."""
    sites, kinds = ports.sites, ports.kinds
    occurring = int(np.bitwise_or.reduce(kinds.rim, initial=0))
    for offset, bit_a, bit_b, sign in _placements():
        if not (occurring & bit_a and occurring & bit_b):
            continue
        one, two = sites.index.pairs_beside(sites.with_rim(bit_a), offset)
        met = _Met.of(ports, one, two, sites.rims[two] & bit_b != 0)
        rim = np.full(len(met.kind_a), Port.RIM, np.int8)
        ratio = tooth_ratios(
            parts,
            ratios,
            teeth_a=kinds.teeth[met.kind_a],
            teeth_b=kinds.teeth[met.kind_b],
            sign=np.full(len(rim), sign),
        )
        yield met.batch(Kind.MESH, port_a=rim, port_b=rim, ratio=ratio)


@dataclass(frozen=True, eq=False)
class _Met:
    """Pairs of parts whose ports meet, and the few different pairs of kinds that they are.

    Parameters
    ----------
    a, b
        Rows of the parts, shape (m,).
    kind_a, kind_b
        Their kinds, of each different pair.
    pair
        Number of each row's pair of kinds, shape (m,).
    """

    a: _Ints
    b: _Ints
    kind_a: _Ints
    kind_b: _Ints
    pair: _Ints

    @staticmethod
    def of(ports: Ports, one: _Ints, two: _Ints, meets: npt.NDArray[np.bool_]) -> _Met:
        """Take the pairs of sites whose ports meet, of parts of one class."""
        if not meets.all():
            one, two = one[meets], two[meets]
        a, b = ports.sites.part[one], ports.sites.part[two]
        kinds, pair = unique_rows(ports.kind[a], ports.kind[b])
        fit = ports.kinds.fits[kinds[:, 0]] == ports.kinds.fits[kinds[:, 1]]
        if not fit.all():
            fits = fit[pair]
            a, b, pair = a[fits], b[fits], (np.cumsum(fit) - 1)[pair[fits]]
        return _Met(a, b, kinds[fit, 0], kinds[fit, 1], pair)

    def batch(
        self,
        kind: Kind,
        *,
        port_a: npt.NDArray[np.int8],
        port_b: npt.NDArray[np.int8],
        ratio: npt.NDArray[np.int32],
    ) -> Batch:
        """Couple the parts, given the ports and the ratio of each pair of kinds."""
        pair = self.pair
        return Batch(self.a, self.b, kind, port_a[pair], port_b[pair], ratio[pair])


def tooth_ratios(
    parts: Parts,
    ratios: Interner[Fraction],
    *,
    teeth_a: npt.NDArray[Any],
    teeth_b: npt.NDArray[Any],
    sign: _Ints,
) -> npt.NDArray[np.int32]:
    """Return the number of each pair's ratio: sign × teeth of a / teeth of b.

    `teeth_a` and `teeth_b` are numbers of tooth counts.
    """
    distinct, number = unique_rows(teeth_a, teeth_b, sign)
    of_row = [
        ratios(signed * parts.numbers[teeth_a] / parts.numbers[teeth_b])
        for teeth_a, teeth_b, signed in distinct.tolist()
    ]
    return np.array(of_row, np.int32)[number]


def _placements() -> Iterator[tuple[Offset, int, int, int]]:
    """Yield (offset, bit of a, bit of b, sign) of each placement, once a pair."""
    for axis in range(3):
        beside, diagonal_near, diagonal_far, crossed = (rim_bit(axis, one) for one in PLACEMENTS)
        for offset in filter(_ahead, beside_offsets(axis)):
            yield offset, beside, beside, -1
        for offset in filter(_ahead, diagonal_offsets(axis)):
            yield offset, diagonal_near, diagonal_far, -1
            yield offset, diagonal_far, diagonal_near, -1
        for offset, other_axis, sign in crossed_offsets(axis):
            if _ahead(offset):
                yield offset, crossed, rim_bit(other_axis, PLACEMENTS[-1]), sign


def _ahead(offset: Offset) -> bool:
    """Tell apart the two offsets of a pair, seen from either rim."""
    return offset > (0, 0, 0)
