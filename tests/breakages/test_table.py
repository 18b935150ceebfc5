"""Every rule that is broken on purpose still stands where the table says."""

from __future__ import annotations

import ast

import pytest

from tests.breakages.run import ROOT, broken_text
from tests.breakages.table import BREAKAGES, Breakage


@pytest.mark.parametrize("breakage", BREAKAGES, ids=lambda breakage: breakage.rule)
def test_a_rule_can_be_broken_where_the_table_says(breakage: Breakage) -> None:
    text = (ROOT / breakage.path).read_text("utf-8")
    broken = broken_text(breakage, text)
    assert broken != text
    ast.parse(broken)
