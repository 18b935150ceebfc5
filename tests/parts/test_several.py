"""Several types and many parts at once: none is read in place of another."""

from __future__ import annotations

import random

from analyzer.catalogue.catalogue import Field
from analyzer.catalogue.load import load_catalogue_text
from analyzer.parts.make import make_parts
from tests.catalogue.texts import FILE, HEAD
from tests.parts.scans import INT, STRING, Found, scan_of

WHEEL = """
[parts."q:wheel"]
role = "mover"
entity = ["q:wheel"]
pose = {facing = "facing"}
rated_rpm = {stored = "Rpm"}
torque = {stored = "Torque"}
"""

PULLEY = """
[parts."q:pulley_{key}"]
role = "transmission"
entity = ["q:pulley"]
pose = {{facing = "facing"}}
link = {{partner = {{stored = "{key}", form = "packed"}}}}
recorded_rpm = {{stored = "Rpm_{key}", about = "axis"}}
"""


def test_each_of_many_parts_has_the_numbers_that_it_stores() -> None:
    rng = random.Random("many parts")
    stored = [(rng.randint(1, 10**6), rng.randint(1, 10**6)) for _ in range(300)]
    found = [
        Found("q:wheel[facing=east]", "q:wheel", {("Rpm",): (INT, rpm), ("Torque",): (INT, torque)})
        for rpm, torque in stored
    ]
    parts = make_parts(scan_of(found), load_catalogue_text(HEAD + WHEEL, FILE))
    fields = (Field.RATED_RPM, Field.TORQUE)
    assert [tuple(parts.number(row, one) for one in fields) for row in range(300)] == stored


def test_what_two_types_store_wrongly_is_told_of_both() -> None:
    text = HEAD + PULLEY.format(key="a") + PULLEY.format(key="b")
    found = [
        Found(
            f"q:pulley_{key}[facing=east]",
            "q:pulley",
            {(key,): (STRING, 0), (f"Rpm_{key}",): (STRING, 0)},
        )
        for key in "ab"
    ]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    told = [(one.part, one.field, one.path, one.found) for one in parts.unusable]
    assert told == [
        (row, field, path + key, "string")
        for row, key in enumerate("ab")
        for field, path in sorted([(Field.PARTNER, ""), (Field.RECORDED_RPM, "Rpm_")])
    ]
