"""By whose word a coupling stands: who stores a link, whose entry lists an own offset."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_MATRIX
from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import PartType, Port
from analyzer.couplings.couplings import Couplings, Kind
from analyzer.couplings.index import SiteIndex
from analyzer.parts.parts import Parts

_Ints: TypeAlias = npt.NDArray[np.int64]


def listing_of(parts: Parts, couplings: Couplings, rows: _Ints) -> _Ints:
    """Return by whose word each coupling stands, as a number that its kind explains.

    Links: bits of who stores the other, 1 the first and 2 the second. Own offsets: twice the
    number of the offset in its lister's entry, and one more where the second part lists it.
    """
    a, b = couplings.a[rows].astype(np.int64), couplings.b[rows].astype(np.int64)
    kind = couplings.kind[rows]
    listing = np.zeros(len(rows), np.int64)
    linked = np.flatnonzero(kind == Kind.LINK)
    if len(linked):
        listing[linked] = _storers(parts, couplings, rows[linked])
    listed = np.flatnonzero(kind == Kind.OFFSET)
    if len(listed):
        one, two = a[listed], b[listed]
        step = parts.xyz[two].astype(np.int64) - parts.xyz[one]
        of_one = (parts.type[one], parts.pose[one])
        distinct, number = unique_rows(*of_one, parts.type[two], parts.pose[two], *step.T)
        listing[listed] = np.array([_lister(parts, row) for row in distinct.tolist()])[number]
    return listing


def _storers(parts: Parts, couplings: Couplings, rows: _Ints) -> list[int]:
    """Return who stores each link: 1 the first part, 2 the second, 3 both.

    Where both store it and say different senses there are two couplings, each by one's word.
    """
    links = parts.links
    part = links.part.astype(np.int64)
    index = SiteIndex(parts.dimension, parts.xyz)
    asked, partner = index.pairs_at(parts.dimension[part], links.towards)
    stores = set(zip(part[asked].tolist(), partner.tolist(), strict=True))
    types = parts.catalogues.types
    found = []
    for row in rows.tolist():
        a, b = int(couplings.a[row]), int(couplings.b[row])
        entry_a, entry_b = types[int(parts.type[a])], types[int(parts.type[b])]
        crossed = bool(couplings.ratios.sign[couplings.ratio[row]] < 0)
        crossed ^= _flips_link(entry_a) and bool(couplings.guard_a[row] == 1)
        crossed ^= _flips_link(entry_b) and bool(couplings.guard_b[row] == 1)
        by_a = (a, b) in stores and _crosses(entry_a) == crossed
        by_b = (b, a) in stores and _crosses(entry_b) == crossed
        found.append(by_a + 2 * by_b)
    return found


def _crosses(entry: PartType) -> bool:
    return entry.link is not None and entry.link.crossed


def _flips_link(entry: PartType) -> bool:
    switch = entry.switch
    return switch is not None and switch.kind == "reverser" and Port.LINK in switch.ports


def _lister(parts: Parts, row: list[int]) -> int:
    type_a, pose_a, type_b, pose_b, *step = row
    types = parts.catalogues.types
    for lister, pose, other, sign in ((type_a, pose_a, type_b, 1), (type_b, pose_b, type_a, -1)):
        own = tuple((sign * POSE_MATRIX[pose].astype(np.int64).T @ np.array(step)).tolist())
        for number, meeting in enumerate(types[lister].meets):
            if meeting.at == own and types[other].block in meeting.types:
                return 2 * number + (sign < 0)
    raise AssertionError("a coupling at an own offset is listed by one of its two types")
