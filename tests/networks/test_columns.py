"""The columns that networks consist of: their types, and that nobody can write to them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.columns import empty_audit, writable, wrong_types, yard_audit


@pytest.mark.parametrize("audit", [yard_audit, empty_audit], ids=["a yard", "no parts"])
def test_every_column_is_of_the_type_it_is_annotated_with_and_read_only(
    audit, tmp_path: Path
) -> None:
    networks = audit(tmp_path).networks
    for table in (networks, networks.governors, networks.potentials):
        assert not wrong_types(table)
        assert not writable(table)


def test_roots_alone_have_minus_one_for_what_lies_before_them(tmp_path: Path) -> None:
    networks = yard_audit(tmp_path).networks
    without = [part for part, coupling in enumerate(networks.parent_coupling) if coupling == -1]
    assert without == networks.root.tolist()
    assert [part for part, parent in enumerate(networks.parent) if parent == -1] == without
    assert min(networks.parent.tolist() + networks.parent_coupling.tolist()) == -1
