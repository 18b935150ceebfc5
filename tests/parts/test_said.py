"""What is said of what was found in place of a number or of a record."""

from __future__ import annotations

import math

import pytest

from analyzer.catalogue.load import load_catalogue_text
from analyzer.parts.make import make_parts
from analyzer.parts.readings import Reading
from tests.catalogue.texts import FILE, HEAD
from tests.parts.scans import INT, Found, scan_of


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        (Reading(1, -5, 0.0), "-5"),
        (Reading(4, 2**60, 0.0), str(2**60)),
        (Reading(5, 0, 0.1), "0.1"),
        (Reading(6, 0, 0.1), "0.1"),
        (Reading(5, 0, math.inf), "Infinity"),
        (Reading(6, 0, -math.inf), "-Infinity"),
        (Reading(6, 0, math.nan), "NaN"),
        (Reading(7, 0, 0.0), "byte array"),
        (Reading(12, 0, 0.0), "long array"),
        (Reading(13, 0, 0.0), "tag 13"),
        (Reading(0, 0, 0.0), "tag 0"),
    ],
)
def test_a_reading_is_told_by_its_value_or_by_the_kind_of_its_tag(reading, said) -> None:
    assert str(reading) == said


def test_a_block_entity_at_a_block_of_another_type_is_told_with_all_that_would_go_with_it() -> None:
    text = (
        f'{HEAD}[parts."q:wheel"]\nrole = "transmission"\nentity = ["q:wheel", "q:old_wheel"]\n'
        'pose = {facing = "facing"}\n'
    )
    found = [Found("q:wheel[facing=east]", entity) for entity in ("q:crate", "q:old_wheel", None)]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert [one.detail for one in parts.rejected] == [
        "block entity q:crate where the type has q:wheel, q:old_wheel",
        "no block entity where the type has q:wheel, q:old_wheel",
    ]
    assert [one.reason for one in parts.rejected] == ["stale"] * 2


def test_the_first_thing_that_a_save_stores_counts_as_much_as_any_other() -> None:
    # A partner of which one number alone is there cannot be used.
    text = (
        f'{HEAD}[parts."q:pulley"]\nrole = "transmission"\nentity = ["q:pulley"]\n'
        'pose = {facing = "facing"}\n'
        'link = {partner = {stored = "To", form = "named", names = ["X", "Y", "Z"]}}\n'
    )
    found = Found("q:pulley[facing=east]", "q:pulley", {("To", "X"): (INT, 5)})
    parts = make_parts(scan_of([found]), load_catalogue_text(text, FILE))
    assert [(one.path, one.found) for one in parts.unusable] == [("To.Y", "absent")]
