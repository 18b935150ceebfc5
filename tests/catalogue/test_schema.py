"""The published schema and our own check agree; jsonschema is the judge."""

from __future__ import annotations

import copy
import json
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import analyzer.catalogue
from analyzer.base.mistake import Mistake
from analyzer.catalogue.format import DOCUMENT
from analyzer.catalogue.meetings import check_meetings
from analyzer.catalogue.notes import Notes
from analyzer.catalogue.rules import check_rules
from analyzer.catalogue.schema import catalogue_schema, schema_text
from analyzer.catalogue.structure import check_shape
from tests.catalogue.shape_data import ODD, data_of, holder_of, places, spoilt
from tests.catalogue.texts import HEAD, SHAFT, WHEEL, mistakes_in, shaft
from tests.catalogue.toml_writer import write_toml

PUBLISHED = Path(analyzer.catalogue.__file__).with_name("catalogue.schema.json")
VALIDATOR = jsonschema.Draft202012Validator(catalogue_schema())
DOCUMENTS = data_of(DOCUMENT)


def plain(value: Any) -> Any:
    """Return data as a reader of TOML that knows no exact decimals gives it."""
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [plain(item) for item in value]
    return float(value) if isinstance(value, Decimal) else value


#: What is found in mistakes that the schema cannot state.
UNSAID = (
    "is not at a right angle",
    "already holds whenever",
    "in a part without a block entity",
    "which the type does not have",
    "an empty list with the form",
    "the part's own block",
    # These show only beside the other entries.
    "no catalogue has an entry for",
    "which has no rim",
    "in a type without a rim",
    "couples in no pose",
    " gives ",
)


def structural_mistakes(document: Any) -> list[Mistake]:
    notes = Notes("quay.toml", {})
    check_shape(document, DOCUMENT, (), notes)
    check_rules(document, notes)
    check_meetings([(document, notes)], complete=True)
    return [one for one in notes.mistakes if not any(part in one.found for part in UNSAID)]


def test_the_published_schema_is_the_one_that_the_table_of_keys_gives() -> None:
    assert PUBLISHED.read_text("utf-8") == schema_text()


def test_the_schema_is_a_valid_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(schema_text()))


@given(DOCUMENTS)
@settings(max_examples=100, deadline=None, derandomize=True)
def test_data_of_the_right_shapes_is_accepted_by_both(document: dict[str, Any]) -> None:
    assert structural_mistakes(document) == []
    VALIDATOR.validate(plain(document))


@st.composite
def spoilt_documents(draw: st.DrawFn) -> Any:
    return spoilt(draw, draw(DOCUMENTS))


@given(spoilt_documents())
@settings(max_examples=1000, deadline=None, derandomize=True)
def test_data_that_is_wrong_in_one_place_is_refused_by_both_or_by_neither(document: Any) -> None:
    assert VALIDATOR.is_valid(plain(document)) == (not structural_mistakes(document))


@given(DOCUMENTS)
@settings(max_examples=50, deadline=None, derandomize=True)
def test_a_text_that_is_accepted_validates_against_the_schema(document: dict[str, Any]) -> None:
    text = write_toml(document)
    mistakes = mistakes_in(text, head="")
    assert all(any(part in mistake.found for part in UNSAID) for mistake in mistakes)
    VALIDATOR.validate(tomllib.loads(text))


EVERYTHING = (
    HEAD.rstrip("\n")
    + '\npower_unit = "hands"\nspeed_limit_rpm = 256\nunequal_movers = "conflict"\n\n'
    + WHEEL
    + 'active = {property = "lit", values = {true = 1, false = 0}}\nspeed_limit_rpm = 64\n'
    + shaft(
        pose='{cases = [{when = {a = "b"}, front = "up", top = "east"}]}',
        ends='{front = {stored = ["Gear", 0], scale = 0.5, default = 1}, left = -1}',
        rim='{kind = "far", teeth = 24, placements = ["diagonal", "crossed"]}',
        fits='"heavy"',
    )
    + '[parts."quayworks:post"]\nrole = "machine"\nentity = false\npose = {axis = "axis"}\n'
    + "torque = 1.5\n"
    + '[parts."quayworks:auger"]\nrole = "machine"\nentity = ["auger"]\n'
    + 'pose = {front = "up", top = "south"}\ntorque = {stored = "Pull"}\n'
    + 'least_rpm = {stored = "Least", default = 0}\nonly = {half = ["lower", "single"]}\n'
    + "ends = {front = {factor = 2, cell = [0, 1, -8]}}\n"
    + 'switch = {kind = "clutch", opens = ["front", "link"], on = {stored = "On"}}\n'
    + 'link = {crossed = true, diameter = 2, partner = {stored = ["Belt", 0], form = "named", '
    + 'names = ["X", "Y", "Z"], relative = true}}\n'
    + 'recorded_rpm = {stored = "Speed", scale = 0.5, about = "front"}\n'
    + '[parts."quayworks:lever"]\nrole = "transmission"\nentity = ["lever"]\n'
    + 'pose = {facing = "facing"}\nends = {front = 1, back = -1}\n'
    + 'rim = {kind = "near", teeth = 12, cell = [0, 0, 1]}\n'
    + 'switch = {kind = "reverser", flips = "rim", on = {property = "up", values = {yes = 1}}}\n'
    + 'meets = [{at = [0, 1, 0], types = ["quayworks:post"], ratio = [2, 3]}, '
    + '{at = [0, 2, 0], types = ["quayworks:post"], ratio = -1}, '
    + '{toothed = true, at = [1, 2, 0], types = ["quayworks:lever"], contact = [0, 2, 0]}]\n'
    + '[parts."quayworks:screw"]\nrole = "transmission"\nentity = ["screw"]\n'
    + 'pose = {facing = "facing"}\nends = {front = 1}\n'
    + 'governor = {port = "front", set_rpm = {stored = "Set"}, sense = "follow"}\n'
    + 'link = {partner = {stored = "To", form = "packed"}}\n'
    + "[catalogue.warnings]\nthin_headroom = 0.5\nheavy_parts = 1\nheavy_chunks = 2\n"
    + "heavy_switches = 3\n"
)


@pytest.mark.parametrize("odd", ODD, ids=str)
def test_every_place_with_another_value_is_refused_by_both_or_by_neither(odd: Any) -> None:
    assert mistakes_in(EVERYTHING, head="") == ()
    document = tomllib.loads(EVERYTHING, parse_float=Decimal)
    for place in places(document):
        changed = copy.deepcopy(document)
        holder_of(changed, place)[place[-1]] = odd
        assert VALIDATOR.is_valid(plain(changed)) == (not structural_mistakes(changed)), place


def test_every_key_left_out_or_misspelt_is_refused_by_both_or_by_neither() -> None:
    document = tomllib.loads(EVERYTHING, parse_float=Decimal)
    refused = 0
    for place in places(document):
        for rename in (False, True):
            changed = copy.deepcopy(document)
            holder = holder_of(changed, place)
            item = holder.pop(place[-1])
            if rename and isinstance(holder, dict):
                holder["zz"] = item
            mistakes = structural_mistakes(changed)
            refused += bool(mistakes)
            assert VALIDATOR.is_valid(plain(changed)) == (not mistakes), (place, rename)
    assert refused > 100


def test_the_schema_accepts_the_catalogue_of_the_demo() -> None:
    path = Path(analyzer.catalogue.__file__).parent.parent / "demo" / "quayworks.toml"
    VALIDATOR.validate(tomllib.loads(path.read_text("utf-8")))


def test_the_head_and_shaft_of_these_tests_are_accepted() -> None:
    VALIDATOR.validate(tomllib.loads(HEAD + SHAFT))
