"""What a catalogue would couple if it had what it may lack.

A lack is tried by adding it to the catalogue and finding the couplings again, so that all that a
coupling depends on holds for it too.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import UNITS
from analyzer.base.frame_tables import POSE_FACES, POSE_MATRIX
from analyzer.base.placements import contact_signs
from analyzer.base.tables import Interner, unique_rows
from analyzer.catalogue.catalogue import Catalogues, Constant, End, Field, PartType, Rim, RimKind
from analyzer.couplings.couplings import Kind
from analyzer.couplings.engage import engaged
from analyzer.couplings.find import find_couplings
from analyzer.couplings.index import SiteIndex
from analyzer.findings.trial.lacks import PLACEMENTS_OF_RIM, Lack
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Coverage

_Ints: TypeAlias = npt.NDArray[np.int64]
#: Columns of `Offers`: lack, a, b, ratio, free.
_Columns: TypeAlias = tuple[_Ints, _Ints, _Ints, _Ints, _Ints]


@dataclass(frozen=True, eq=False)
class Offers:
    """Pairs that lacks would couple; parallel arrays.

    Parameters
    ----------
    lack
        Number of the lack, int64.
    a, b
        Row of the part with the lack and of the other, int64.
    ratio
        Index into `ratios`, int64: speed of b per speed of a if the unknown number were 1.
    free
        Whether the unknown number enters the ratio, bool.
    ratios
        The distinct ratios.
    """

    lack: _Ints
    a: _Ints
    b: _Ints
    ratio: _Ints
    free: npt.NDArray[np.bool_]
    ratios: tuple[Fraction, ...]


def offers_of(parts: Parts, lacks: tuple[Lack, ...]) -> Offers:
    """Return every pair that a lack would couple, wherever it stands.

    Pairs that two different lacks would have to couple together are left out. No lacks give none.
    """
    numbers = {lack: number for number, lack in enumerate(lacks)}
    ratios: Interner[Fraction] = Interner([Fraction(1)])
    pieces = []
    # A type without a rim cannot be given both kinds at once.
    for first, kind in ((True, "near"), (False, "far")):
        tried = {
            lack: number
            for lack, number in numbers.items()
            if lack.charge != "no-offset"
            and (lack.port == kind if lack.charge == "no-rim" else first)
        }
        if tried:
            pieces.append(_coupled(parts, tried, ratios))
    index = SiteIndex(parts.dimension, parts.xyz)
    pieces += [
        _met(parts, index, lack, number, ratios)
        for lack, number in numbers.items()
        if lack.charge == "no-offset"
    ]
    columns = [
        np.concatenate([np.empty(0, np.int64), *found]) for found in zip(*pieces, strict=True)
    ]
    lack, a, b, ratio, free = columns or [np.empty(0, np.int64)] * 5
    return Offers(lack, a, b, ratio, free == 1, ratios.items)


def _coupled(parts: Parts, tried: dict[Lack, int], ratios: Interner[Fraction]) -> _Columns:
    """Return what lacks couple once the catalogue has them, each with a number of 1."""
    richer = _with(parts, tried)
    found = find_couplings(richer, Coverage((), ()))
    here = engaged(found, richer.switch_states()).couplings & (found.kind <= Kind.MESH)
    concerned = np.zeros(len(parts.catalogues.types), bool)
    concerned[[lack.type for lack in tried]] = True
    type_a, type_b = parts.type[found.a], parts.type[found.b]
    rows = np.flatnonzero(here & (concerned[type_a] | concerned[type_b]))
    distinct, number = unique_rows(
        found.kind[rows],
        type_a[rows],
        found.port_a[rows],
        type_b[rows],
        found.port_b[rows],
        found.ratio[rows],
    )
    told = np.empty((len(distinct), 4), np.int64)
    for place, (kind, one, port_one, two, port_two, ratio) in enumerate(distinct.tolist()):
        if kind == Kind.SHAFT:
            new = [_new_end(tried, one, port_one), _new_end(tried, two, port_two)]
        else:
            new = _new_rims(tried, parts.catalogues, richer.catalogues, (one, two))
        told[place] = _told(tried, new, found.ratios[ratio], ratios)
    lack, turned, ratio, free = told[number].T
    kept = lack >= 0
    a, b = found.a[rows].astype(np.int64), found.b[rows].astype(np.int64)
    a, b = np.where(turned, b, a), np.where(turned, a, b)
    return lack[kept], a[kept], b[kept], ratio[kept], free[kept]


def _told(
    tried: dict[Lack, int],
    new: list[Lack | None],
    ratio: Fraction,
    ratios: Interner[Fraction],
) -> tuple[int, bool, int, bool]:
    """Return the lack that a coupling needs, whether it is the second part's, ratio, and if free.

    Where both parts are of the type with the lack, its number drops out of the ratio.
    """
    one, two = new
    lack = one or two
    if lack is None or (one is not None and two is not None and one != two):
        return -1, False, 0, False
    turned = one is None
    free = one != two and lack.charge != "no-placement"
    return tried[lack], turned, ratios(1 / ratio if turned else ratio), free


def _new_end(tried: dict[Lack, int], number: int, side: int) -> Lack | None:
    lack = Lack("no-end", number, side=side)
    return lack if lack in tried else None


def _new_rims(
    tried: dict[Lack, int], before: Catalogues, after: Catalogues, types: tuple[int, int]
) -> list[Lack | None]:
    """Return what each of two types needs, beyond what it has, for their rims to mesh."""
    kinds = [rim.kind for number in types if (rim := after.types[number].rim) is not None]
    placement = {("near", "near"): "beside", ("far", "far"): "crossed"}.get(
        (kinds[0], kinds[1]), "diagonal"
    )
    needed: list[Lack | None] = []
    for number, kind in zip(types, kinds, strict=True):
        rim = before.types[number].rim
        if rim is None:
            needed.append(Lack("no-rim", number, port=kind))
        elif placement not in rim.placements:
            needed.append(Lack("no-placement", number, port=placement))
        else:
            needed.append(None)
    assert all(lack is None or lack in tried for lack in needed)
    return needed


def _with(parts: Parts, lacks: Iterable[Lack]) -> Parts:
    """Return the parts as they would be if the catalogue had what it lacks."""
    types = list(parts.catalogues.types)
    fields = dict(parts.fields)
    for lack in sorted(lacks):
        types[lack.type] = _richer(types[lack.type], lack)
        if lack.charge != "no-placement":
            field = Field.TEETH if lack.charge == "no-rim" else Field(lack.side)
            column = fields.get(field, parts.column(field)).copy()
            column[parts.type == lack.type] = len(parts.numbers)
            fields[field] = column
    return replace(
        parts,
        catalogues=replace(parts.catalogues, types=tuple(types)),
        numbers=(*parts.numbers, Fraction(1)),
        fields=MappingProxyType(fields),
    )


def _richer(entry: PartType, lack: Lack) -> PartType:
    one = Constant(Fraction(1))
    if lack.charge == "no-end":
        return replace(entry, ends=(*entry.ends, End(lack.side, one)))
    if entry.rim is None:
        kind: RimKind = "near" if lack.port == "near" else "far"
        return replace(entry, rim=Rim(kind, one, frozenset(PLACEMENTS_OF_RIM[kind])))
    every = frozenset(name for name in PLACEMENTS_OF_RIM[entry.rim.kind] if name == lack.port)
    return replace(entry, rim=replace(entry.rim, placements=entry.rim.placements | every))


def _met(
    parts: Parts, index: SiteIndex, lack: Lack, number: int, ratios: Interner[Fraction]
) -> _Columns:
    """Return the pairs at an own offset; crossing wheels by their teeth, of whatever sign."""
    rows = np.flatnonzero(parts.type == lack.type)
    rotation = POSE_MATRIX[parts.pose[rows]].astype(np.int64)
    step = rotation @ np.array(lack.at, np.int64)
    asked, b = index.pairs_at(parts.dimension[rows], parts.xyz[rows].astype(np.int64) + step)
    a, step, rotation = rows[asked], step[asked], rotation[asked]
    own_axis = np.abs(rotation[np.arange(len(a)), POSE_FACES[parts.pose[b], 0] >> 1]).argmax(axis=1)
    met = (parts.type[b] == lack.other) & (own_axis == lack.axis)
    a, b, step = a[met], b[met], step[met]
    if lack.axis == 0:
        ratio = np.zeros(len(a), np.int64)
    else:
        teeth = parts.column(Field.TEETH)
        axes = (POSE_FACES[parts.pose[a], 0] >> 1, POSE_FACES[parts.pose[b], 0] >> 1)
        distinct, place = unique_rows(*axes, teeth[a], teeth[b], *step.T)
        of_row = [_toothed(parts, row, ratios) for row in distinct.tolist()]
        ratio = np.array(of_row, np.int64)[place]
        a, b, ratio = a[ratio >= 0], b[ratio >= 0], ratio[ratio >= 0]
    same = np.full(len(a), number, np.int64)
    return same, a, b, ratio, np.ones(len(a), np.int64)


def _toothed(parts: Parts, row: list[int], ratios: Interner[Fraction]) -> int:
    """Return the ratio of wheels whose teeth meet where the second one's axis passes the first."""
    axis, other, teeth_a, teeth_b, x, y, z = row
    if teeth_a < 0 or teeth_b < 0:
        return -1
    unit = UNITS[2 * other]
    contact = (x * unit[0], y * unit[1], z * unit[2])
    sign = contact_signs(axis, offset=(x, y, z), contact=contact)[other]
    return ratios(sign * parts.numbers[teeth_a] / parts.numbers[teeth_b]) if sign else -1
