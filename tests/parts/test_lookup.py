"""Stored readings, what stands for none, and the numbers that a table of parts holds."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from analyzer.catalogue.catalogue import Field
from analyzer.catalogue.load import load_catalogue_text
from analyzer.parts.make import make_parts
from analyzer.parts.readings import Lookup, Reading
from tests.catalogue.texts import FILE, HEAD
from tests.parts.scans import INT, LONG, Found, scan_of

WHEEL = """
[parts."q:wheel"]
role = "mover"
entity = ["q:wheel"]
pose = {facing = "facing"}
rated_rpm = {stored = "Rpm", default = 77}
torque = 32
"""
TALL = """
[parts."q:tall"]
role = "mover"
entity = ["q:tall"]
only = {half = ["lower"]}
pose = {facing = "facing"}
rated_rpm = 8
torque = 32
"""


def wheels(*rpm: int | None):
    found = [
        Found("q:wheel[facing=east]", "q:wheel", {} if one is None else {("Rpm",): (INT, one)})
        for one in rpm
    ]
    return make_parts(scan_of(found), load_catalogue_text(HEAD + WHEEL, FILE))


def test_nothing_stored_reads_as_tag_0_and_number_0() -> None:
    scan = scan_of([Found("q:wheel[facing=east]", "q:wheel", {("Rpm",): (LONG, 5)})])
    lookup = Lookup(scan.candidates)
    nothing = np.array([-1])
    assert lookup.reading(-1) == Reading(0, 0, 0.0)
    assert (lookup.tags(nothing).tolist(), lookup.integers(nothing).tolist()) == ([0], [0])
    assert lookup.find(("Rpm",), np.array([0])).tolist() == [0]
    assert lookup.find(("Torque",), np.array([0])).tolist() == [-1]


def test_a_default_is_among_the_numbers_only_where_a_part_has_it() -> None:
    assert set(wheels(5, 6).numbers) == {5, 6, 32}
    assert set(wheels(5, None).numbers) == {5, 77, 32}
    assert wheels(5, None).number(1, Field.RATED_RPM) == Fraction(77)


def test_a_block_entity_of_another_kind_at_the_half_that_is_no_part_is_told() -> None:
    found = [Found(f"q:tall[facing=east,half={half}]", "q:crate") for half in ("lower", "upper")]
    parts = make_parts(scan_of(found), load_catalogue_text(HEAD + TALL, FILE))
    assert len(parts) == 0
    told = [(one.reason, one.detail) for one in parts.rejected]
    assert told == [("stale", "block entity q:crate where the type has q:tall")] * 2
