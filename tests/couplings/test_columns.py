"""The columns that couplings consist of: their types, and that nobody can write to them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.columns import empty_audit, writable, wrong_types, yard_audit


@pytest.mark.parametrize("audit", [yard_audit, empty_audit], ids=["a yard", "no parts"])
def test_every_column_is_of_the_type_it_is_annotated_with_and_read_only(
    audit, tmp_path: Path
) -> None:
    couplings = audit(tmp_path).couplings
    for table in (couplings, couplings.governed, couplings.cuts, couplings.broken):
        assert not wrong_types(table)
        assert not writable(table)


def test_a_guard_is_on_off_or_any_state(tmp_path: Path) -> None:
    couplings = yard_audit(tmp_path).couplings
    governed = couplings.governed
    for guards in (couplings.guard_a, couplings.guard_b, governed.guard_part, governed.guard_other):
        assert set(guards.tolist()) <= {-1, 0, 1}
    assert 1 in couplings.guard_a.tolist() + couplings.guard_b.tolist()
