"""What a world's names may not do to a terminal or a spreadsheet."""

from __future__ import annotations

import csv
import io

import pytest

from analyzer.report.clean import cell, shown
from analyzer.report.tables import iter_csv


@pytest.mark.parametrize(
    "text",
    ["\x1b[31mred", "a\x07bell", "a\rb", "a\nb", "\x9b1m", "\u202eabc", "\u200b", "\ud800"],
)
def test_no_character_that_does_not_print_is_shown(text: str) -> None:
    assert shown(text).isprintable()
    assert shown(text) != text
    shown(text).encode("utf-8")


def test_text_that_prints_is_shown_as_it_is() -> None:
    assert shown("Kai-Halle Ölmühle 3") == "Kai-Halle Ölmühle 3"


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)"])
def test_a_text_cell_is_never_a_formula(text: str) -> None:
    assert cell(text) == f"'{text}"


def test_a_table_reads_back_cell_by_cell() -> None:
    rows = [("a,b", 'say "hi"', ""), ("minecraft:overworld:1,2,3", "x", "-1")]
    text = "".join(iter_csv(("one", "two", "three"), rows))
    assert [tuple(row) for row in csv.reader(io.StringIO(text))] == [
        ("one", "two", "three"),
        *rows,
    ]
    assert "\r" not in text


def test_a_long_table_comes_in_pieces_and_whole() -> None:
    rows = [(str(number),) for number in range(10_000)]
    pieces = list(iter_csv(("n",), rows))
    assert len(pieces) > 1
    assert "".join(pieces).splitlines() == ["n", *map(str, range(10_000))]
