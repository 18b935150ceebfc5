"""The columns that solutions consist of: their types, and that nobody can write to them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.columns import empty_audit, writable, wrong_types, yard_audit


@pytest.mark.parametrize("audit", [yard_audit, empty_audit], ids=["a yard", "no parts"])
def test_every_column_is_of_the_type_it_is_annotated_with_and_read_only(
    audit, tmp_path: Path
) -> None:
    solution = audit(tmp_path).solution
    assert not wrong_types(solution)
    assert not writable(solution)


def test_minus_one_stands_for_none_and_no_other_number_does(tmp_path: Path) -> None:
    solution = yard_audit(tmp_path).solution
    assert {min(solution.leader.tolist()), min(solution.speed.tolist())} == {-1}
    assert set(solution.opposing.tolist()) == {-1}
    assert min(solution.demand.tolist()) >= -1
