"""Couplings while they are being found."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import Interner, distinct_rows
from analyzer.couplings.couplings import Kind


@dataclass(frozen=True, eq=False)
class Batch:
    """Couplings of one kind that were found together; parallel arrays, a and b in any order.

    `ratio` is the number of the speed of b per speed of a in the ratios being collected.
    """

    a: npt.NDArray[np.int64]
    b: npt.NDArray[np.int64]
    kind: Kind
    port_a: npt.NDArray[np.int8]
    port_b: npt.NDArray[np.int8]
    ratio: npt.NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Rows:
    """All couplings as columns; `a` < `b`, sorted and without repetition."""

    a: npt.NDArray[np.int32]
    b: npt.NDArray[np.int32]
    kind: npt.NDArray[np.int8]
    port_a: npt.NDArray[np.int8]
    port_b: npt.NDArray[np.int8]
    ratio: npt.NDArray[np.int32]

    def taken(self, chosen: npt.NDArray[Any]) -> Rows:
        """Return the chosen rows, by number or by mask."""
        return Rows(
            a=self.a[chosen],
            b=self.b[chosen],
            kind=self.kind[chosen],
            port_a=self.port_a[chosen],
            port_b=self.port_b[chosen],
            ratio=self.ratio[chosen],
        )


def gather(batches: Iterable[Batch], ratios: Interner[Fraction]) -> Rows:
    """Put the smaller part first everywhere, sort, and drop what was found from both sides.

    A part is never coupled with itself.
    """
    pieces = list(batches)

    def column(name: str, kind: type[np.signedinteger[Any]]) -> npt.NDArray[Any]:
        found = [getattr(piece, name).astype(kind, copy=False) for piece in pieces]
        return np.concatenate([np.empty(0, kind), *found])

    a, b, ratio = (column(name, np.int32) for name in ("a", "b", "ratio"))
    port_a, port_b = (column(name, np.int8) for name in ("port_a", "port_b"))
    kind = np.repeat(
        np.array([int(piece.kind) for piece in pieces], np.int8),
        np.array([len(piece.a) for piece in pieces], np.int64),
    )
    turned = a > b
    inverse = np.array([ratios(1 / value) for value in ratios.items], np.int32)
    if turned.any():
        a, b = np.where(turned, b, a), np.where(turned, a, b)
        port_a, port_b = np.where(turned, port_b, port_a), np.where(turned, port_a, port_b)
        ratio = np.where(turned, inverse[ratio], ratio)
    rows = Rows(a, b, kind, port_a, port_b, ratio)
    apart = a != b
    if not apart.all():
        rows = rows.taken(apart)
    return Rows(*distinct_rows(rows.a, rows.b, rows.kind, rows.port_a, rows.port_b, rows.ratio))
