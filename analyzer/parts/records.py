"""The speeds that the saving program recorded, as block entities store them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from analyzer.base.exact import stored_number
from analyzer.base.frame import POSES, sign_of
from analyzer.base.tables import Interner, frozen
from analyzer.catalogue.bounds import FIELD_BOUNDS
from analyzer.catalogue.catalogue import DataPath, Field, Recorded
from analyzer.catalogue.notes import key_text
from analyzer.parts.numbers import NONE
from analyzer.parts.parts import Records, Unusable
from analyzer.parts.readings import Lookup, Reading, Rows, rows_by_item


@dataclass(frozen=True)
class Posed:
    """Where parts of one type and pose keep their speeds, and the world speed of a stored 1."""

    path: DataPath
    unit_rpm: Fraction


def posed_record(recorded: Recorded, pose: int) -> Posed:
    """Carry a record about a part's front into one about the positive world axis."""
    sign = sign_of(POSES[pose][0]) if recorded.about == "front" else 1
    return Posed(recorded.rpm.path, recorded.rpm.scale * sign)


def read_records(
    posed: Sequence[Posed | None],
    *,
    known: Interner[Fraction],
    lookup: Lookup,
    rows: Rows,
    group: Rows,
) -> tuple[Records, tuple[Unusable, ...]]:
    """Return the speeds that are recorded of the parts.

    Parameters
    ----------
    posed
        Where each group of candidates keeps its speed; None for those that keep none.
    known
        Numbers of the exact numbers that occur.
    lookup
        What is stored of the candidates.
    rows
        Rows of the candidates that are parts, ascending, shape (n,).
    group
        Group of each of these, shape (n,).

    Returns
    -------
    records, unusable
        Parts that store nothing there have no record; those that store what is no usable number
        are unusable and have none either.
    """
    table = [np.empty((0, 4), np.int64)]
    unusable: list[Unusable] = []
    for one, parts in rows_by_item(posed, group):
        at = lookup.find(one.path, rows[parts])
        there, at = parts[at >= 0], at[at >= 0]
        distinct, number = lookup.distinct(at)
        stored = np.array([_stored(reading, one, known) for reading in distinct], np.int64)[number]
        usable = stored != NONE
        unit = np.full(len(there), known(one.unit_rpm), np.int64)
        table.append(np.stack([there, stored, unit, lookup.tags(at)], axis=1)[usable])
        for index in np.flatnonzero(~usable).tolist():
            found = str(distinct[int(number[index])])
            part = int(there[index])
            unusable.append(Unusable(part, Field.RECORDED_RPM, key_text(one.path), found))
    rows_of_all = np.concatenate(table)
    part, stored, unit, tag = rows_of_all[np.argsort(rows_of_all[:, 0], kind="stable")].T
    records = Records(
        part=frozen(part.astype(np.int32)),
        stored=frozen(stored.astype(np.int32)),
        unit=frozen(unit.astype(np.int32)),
        tag=frozen(tag.astype(np.int8)),
    )
    return records, tuple(unusable)


def _stored(reading: Reading, posed: Posed, known: Interner[Fraction]) -> int:
    value = stored_number(*reading)
    if value is None or not FIELD_BOUNDS[Field.RECORDED_RPM].holds(value * posed.unit_rpm):
        return NONE
    return known(value)
