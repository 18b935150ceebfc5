"""What a catalogue may lack: ends, rims, placements, own offsets that would couple neighbours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES, POSE_MATRIX
from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Catalogues, Cell, PartType, Placement, RimKind
from analyzer.findings.trial.trial import Charge
from analyzer.parts.parts import Parts

_Ints: TypeAlias = npt.NDArray[np.int64]

#: Placements that each kind of rim can have.
PLACEMENTS_OF_RIM: Final[dict[RimKind, tuple[Placement, Placement]]] = {
    "near": ("beside", "diagonal"),
    "far": ("diagonal", "crossed"),
}


@dataclass(frozen=True, order=True)
class Lack:
    """Something that a type may lack.

    Parameters
    ----------
    charge
        ``no-end``, ``no-rim``, ``no-placement`` or ``no-offset``.
    type
        Number of the type.
    side
        Own side of the end; -1 for anything else.
    port
        Kind of the rim, or the placement; empty for anything else.
    other
        Number of the type met at the own offset; -1 for anything else.
    at
        The own offset.
    axis
        Own axis along which the axis of the other lies: 0 is parallel.
    """

    charge: Charge
    type: int
    side: int = -1
    port: str = ""
    other: int = -1
    at: Cell = (0, 0, 0)
    axis: int = 0


def suggest_lacks(parts: Parts, one: _Ints, other: _Ints) -> Iterator[tuple[Lack, int]]:
    """Yield what would couple pairs of neighbours, each with the number of pairs it is for.

    Parameters
    ----------
    parts
        All parts.
    one, other
        Rows of the two parts of each pair, each pair once.
    """
    counts: dict[Lack, int] = {}
    for a, b in ((one, other), (other, one)):
        step = parts.xyz[b].astype(np.int64) - parts.xyz[a]
        axis = POSE_FACES[parts.pose[b], 0] >> 1
        distinct, number = unique_rows(parts.type[a], parts.pose[a], parts.type[b], axis, *step.T)
        for row, count in zip(distinct.tolist(), np.bincount(number).tolist(), strict=True):
            for lack in _lacks(parts.catalogues, row):
                counts[lack] = counts.get(lack, 0) + count
    yield from sorted(counts.items())


def _lacks(catalogues: Catalogues, row: list[int]) -> Iterator[Lack]:
    number, pose, met, axis, *step = row
    entry, other = catalogues.types[number], catalogues.types[met]
    turned = POSE_MATRIX[pose].astype(np.int64).T
    x, y, z = (turned @ np.array(step)).tolist()
    if abs(x) + abs(y) + abs(z) == 1:
        side = next(s for s in range(6) if (0, x, y, z)[1 + s // 2] == 1 - 2 * (s % 2))
        if all(end.side != side for end in entry.ends):
            yield Lack("no-end", number, side=side)
    if other.rim is not None:
        yield from _rim_lacks(number, entry)
    own_axis = int(np.flatnonzero(turned[:, axis])[0])
    toothed = entry.rim is not None and other.rim is not None
    if own_axis == 0 or toothed:
        yield Lack("no-offset", number, other=met, at=(x, y, z), axis=own_axis)


def _rim_lacks(number: int, entry: PartType) -> Iterator[Lack]:
    if entry.rim is None:
        yield Lack("no-rim", number, port="near")
        yield Lack("no-rim", number, port="far")
        return
    for placement in PLACEMENTS_OF_RIM[entry.rim.kind]:
        if placement not in entry.rim.placements:
            yield Lack("no-placement", number, port=placement)
