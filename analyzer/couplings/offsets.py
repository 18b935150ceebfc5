"""Couplings at offsets that a catalogue gives a type of its own."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import to_world
from analyzer.base.placements import contact_signs
from analyzer.base.tables import Interner
from analyzer.catalogue.catalogue import Field, Meeting, Port
from analyzer.couplings.batch import Batch
from analyzer.couplings.couplings import Kind
from analyzer.couplings.neighbours import tooth_ratios
from analyzer.couplings.ports import Ports
from analyzer.parts.parts import Parts


def offset_couplings(parts: Parts, ports: Ports, ratios: Interner[Fraction]) -> Iterator[Batch]:
    """Join parts at the offsets that either of their types lists.

    Toothed: the teeth of both rims give the magnitude; parallel axes turn opposite ways, and
    axes that meet at a right angle turn as no slip at the stated contact cell demands. Stated: the
    ratio as it stands, for parallel axes.
    """
    for number in sorted(set(ports.kinds.type.tolist())):
        entry = parts.catalogues.types[number]
        if not entry.meets:
            continue
        rows = np.flatnonzero(parts.type == number)
        for pose in np.unique(parts.pose[rows]).tolist():
            posed = rows[parts.pose[rows] == pose]
            for meeting in entry.meets:
                yield _meet(parts, ports, ratios, rows=posed, meeting=meeting)


def _meet(
    parts: Parts,
    ports: Ports,
    ratios: Interner[Fraction],
    *,
    rows: npt.NDArray[np.int64],
    meeting: Meeting,
) -> Batch:
    """Join parts of one type and pose with what lies at one of the type's offsets."""
    types = parts.catalogues.types
    pose = int(parts.pose[rows[0]])
    offset = np.array(to_world(pose, meeting.at), np.int64)
    xyz = parts.xyz[rows].astype(np.int64) + offset
    asked, b = ports.sites.blocks_at(parts.dimension[rows], xyz)
    a = rows[asked]
    met = np.array([other.block in meeting.types for other in types], bool)[parts.type[b]]
    if meeting.ratio is not None:
        met &= ports.axis[a] == ports.axis[b]
        a, b = a[met], b[met]
        ratio = np.full(len(a), ratios(meeting.ratio), np.int32)
    else:
        signs = contact_signs(
            int(ports.axis[rows[0]]),
            offset=to_world(pose, meeting.at),
            contact=None if meeting.contact is None else to_world(pose, meeting.contact),
        )
        sign = np.array(signs, np.int64)[ports.axis[b]]
        teeth = parts.column(Field.TEETH)
        met &= (sign != 0) & (teeth[a] >= 0) & (teeth[b] >= 0)
        a, b = a[met], b[met]
        ratio = tooth_ratios(parts, ratios, teeth_a=teeth[a], teeth_b=teeth[b], sign=sign[met])
    port = np.full(len(a), Port.OFFSET, np.int8)
    return Batch(a, b, Kind.OFFSET, port, port, ratio)
