"""The columns that parts consist of: their types, and that nobody can write to them."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.catalogue.catalogue import Field
from tests.support.columns import empty_audit, writable, wrong_types, yard_audit


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
