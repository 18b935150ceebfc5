"""The columns that parts consist of: their types, and that nobody can write to them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from analyzer.catalogue.catalogue import Field
from analyzer.parts.parts import no_links, no_records
from tests.support.columns import columns_of, empty_audit, writable, wrong_types, yard_audit


@pytest.mark.parametrize("audit", [yard_audit, empty_audit], ids=["a yard", "no parts"])
def test_every_column_is_of_the_type_it_is_annotated_with_and_read_only(
    audit, tmp_path: Path
) -> None:
    parts = audit(tmp_path).parts
    for table in (parts, parts.links, parts.recorded):
        assert not wrong_types(table)
        assert not writable(table)
    assert all(str(column.dtype) == "int32" for column in parts.fields.values())
    assert not any(column.flags.writeable for column in parts.fields.values())
    assert str(parts.switch_states().dtype) == "int8"
    assert all(str(parts.column(field).dtype) == "int32" for field in Field)


def test_no_links_and_no_records_have_columns_too() -> None:
    for table in (no_links(), no_records()):
        assert not wrong_types(table)
        assert {len(column) for column, _ in columns_of(table).values()} == {0}
    assert no_links().towards.shape == (0, 3)


def test_minus_one_alone_says_that_a_part_has_no_such_number(tmp_path: Path) -> None:
    parts = yard_audit(tmp_path).parts
    for field in Field:
        lacking = [row for row in range(len(parts)) if parts.number(row, field) is None]
        assert np.flatnonzero(parts.column(field) == -1).tolist() == lacking
        assert (parts.column(field) >= -1).all()
