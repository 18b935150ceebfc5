from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from analyzer.base.block import BlockState
from analyzer.base.frame import FACES, POSES
from analyzer.base.place import Block
from analyzer.catalogue.catalogue import Catalogues, Field
from analyzer.catalogue.load import load_catalogue_text, load_catalogues
from analyzer.parts.make import make_parts
from analyzer.parts.parts import Parts, Rejected
from tests.catalogue.texts import FILE, HEAD, SHAFT, WHEEL
from tests.parts.scans import INT, Found, scan_of

OAK = """\
[parts."quayworks:oak"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
"""
CATALOGUE = load_catalogue_text(HEAD + SHAFT + WHEEL + OAK, FILE)
SHAFT_X = Found("quayworks:shaft[axis=x]", "quayworks:shaft")


def parts_of(*found: Found, catalogues: Catalogues = CATALOGUE) -> Parts:
    return make_parts(scan_of(found), catalogues)


def test_a_scan_without_candidates_gives_no_parts() -> None:
    parts = parts_of()
    assert len(parts) == 0
    assert (parts.rejected, parts.unusable) == ((), ())
    assert parts.xyz.shape == (0, 3)
    assert parts.column(Field.TORQUE).shape == (0,)


def test_without_a_catalogue_every_candidate_is_left_over() -> None:
    parts = parts_of(SHAFT_X, catalogues=load_catalogues([]))
    assert len(parts) == 0
    assert [one.reason for one in parts.rejected] == ["stale"]


def test_parts_keep_the_order_of_the_candidates_and_their_places() -> None:
    found = [
        Found("quayworks:oak[axis=y]", at=(-5, -60, 7), dimension=1),
        Found("quayworks:shaft[axis=x]", "quayworks:shaft", at=(3, 64, -20)),
        Found("quayworks:wheel[facing=north]", "quayworks:wheel", at=(-3, 64, -20)),
    ]
    parts = make_parts(scan_of(found, dimensions=("a:low", "a:up")), CATALOGUE)
    assert parts.dimensions == ("a:low", "a:up")
    assert parts.dimension.tolist() == [0, 0, 1]
    assert [parts.block_at(row) for row in range(3)] == [
        Block(-3, 64, -20),
        Block(3, 64, -20),
        Block(-5, -60, 7),
    ]
    blocks = [CATALOGUE.types[number].block for number in parts.type.tolist()]
    assert blocks == ["quayworks:wheel", "quayworks:shaft", "quayworks:oak"]
    fronts = [FACES[POSES[pose][0]] for pose in parts.pose.tolist()]
    assert fronts == ["north", "east", "up"]
    assert [str(parts.states[number]) for number in parts.state.tolist()] == [
        "quayworks:wheel[facing=north]",
        "quayworks:shaft[axis=x]",
        "quayworks:oak[axis=y]",
    ]


def test_what_a_stage_hands_on_cannot_be_written_to() -> None:
    parts = parts_of(SHAFT_X)
    arrays = [parts.dimension, parts.xyz, parts.type, parts.pose, parts.state]
    for array in [*arrays, *parts.fields.values()]:
        assert not array.flags.writeable


def test_each_number_is_held_exactly_once_however_many_parts_have_it() -> None:
    parts = parts_of(SHAFT_X, SHAFT_X, Found("quayworks:shaft[axis=z]", "quayworks:shaft"))
    assert sorted(parts.numbers) == [-1, 1]
    assert [parts.number(row, Field.END_1) for row in range(3)] == [-1, -1, -1]
    assert parts.number(0, Field.TORQUE) is None


@pytest.mark.parametrize(
    ("facing", "rated"),
    [("east", 8), ("up", 8), ("south", 8), ("west", -8), ("down", -8), ("north", -8)],
)
def test_a_rated_speed_is_about_the_positive_world_axis_from_here_on(
    facing: str, rated: int
) -> None:
    parts = parts_of(Found(f"quayworks:wheel[facing={facing}]", "quayworks:wheel"))
    assert parts.number(0, Field.RATED_RPM) == rated
    assert parts.number(0, Field.TORQUE) == 32
    assert parts.number(0, Field.END_0) == 1


def test_a_block_without_an_entity_is_a_part_of_a_type_without_one() -> None:
    parts = parts_of(Found("quayworks:oak[axis=x]"))
    assert (len(parts), parts.rejected) == (1, ())


def test_an_entity_left_at_a_block_of_no_type_is_stale() -> None:
    parts = parts_of(Found("minecraft:oak_planks", "quayworks:shaft", at=(1, 2, 3)), SHAFT_X)
    assert len(parts) == 1
    assert parts.rejected == (
        Rejected(
            dimension=0,
            at=Block(1, 2, 3),
            reason="stale",
            block="minecraft:oak_planks",
            detail="block entity quayworks:shaft at a block of no type",
        ),
    )


def test_an_entity_of_another_type_makes_a_block_stale() -> None:
    parts = parts_of(Found("quayworks:shaft[axis=x]", "quayworks:wheel"))
    assert len(parts) == 0
    assert [(one.reason, one.detail) for one in parts.rejected] == [
        ("stale", "block entity quayworks:wheel where the type has quayworks:shaft")
    ]


def test_an_entity_at_a_block_whose_type_has_none_is_stale_and_the_block_still_a_part() -> None:
    parts = parts_of(Found("quayworks:oak[axis=x]", "quayworks:shaft"))
    assert len(parts) == 1
    assert [(one.reason, one.block, one.detail) for one in parts.rejected] == [
        ("stale", "quayworks:oak[axis=x]", "block entity quayworks:shaft where the type has none")
    ]


def test_a_block_that_has_lost_its_entity_is_stale() -> None:
    parts = parts_of(Found("quayworks:shaft[axis=x]"))
    assert len(parts) == 0
    assert [one.detail for one in parts.rejected] == [
        "no block entity where the type has quayworks:shaft"
    ]


def test_a_part_with_an_unknown_property_value_is_counted_and_never_defaulted() -> None:
    parts = parts_of(
        Found("quayworks:shaft[axis=w]", "quayworks:shaft"),
        Found("quayworks:shaft", "quayworks:shaft"),
        SHAFT_X,
    )
    assert [parts.block_at(row).x for row in range(len(parts))] == [2]
    assert [(one.reason, one.at.x, one.detail) for one in parts.rejected] == [
        ("not-understood", 0, "property axis has the value w, none of x, y, z"),
        ("not-understood", 1, "property axis is absent"),
    ]


def test_what_is_left_over_is_listed_by_place_however_many_reasons_there_are() -> None:
    parts = parts_of(
        Found("quayworks:shaft[axis=w]", "quayworks:shaft"),
        Found("minecraft:stone", "quayworks:shaft"),
        Found("quayworks:shaft[axis=w]", "quayworks:shaft"),
    )
    assert [one.at.x for one in parts.rejected] == [0, 1, 2]


def test_the_same_save_gives_the_same_parts_whatever_else_the_tables_name() -> None:
    one = parts_of(SHAFT_X, Found("quayworks:oak[axis=x]"))
    two = parts_of(SHAFT_X, Found("quayworks:oak[axis=x]"), Found("a:a", "a:b", {("a",): (INT, 1)}))
    assert np.array_equal(one.type, two.type)
    assert [one.number(0, Field.END_0), one.number(1, Field.END_1)] == [
        two.number(0, Field.END_0),
        two.number(1, Field.END_1),
    ]


def test_a_candidate_of_the_same_block_in_two_states_is_resolved_for_each() -> None:
    text = OAK.replace("front = 1,", 'front = {property = "gear", values = {low = 2, high = 3}},')
    catalogues = load_catalogue_text(HEAD + text, FILE)
    parts = parts_of(
        *(Found(f"quayworks:oak[axis=x,gear={gear}]") for gear in ("high", "low", "out")),
        catalogues=catalogues,
    )
    assert [parts.number(row, Field.END_0) for row in range(len(parts))] == [
        Fraction(3),
        Fraction(2),
    ]
    assert [one.detail for one in parts.rejected] == [
        "property gear has the value out, none of high, low"
    ]
    assert BlockState("quayworks:oak", (("axis", "x"), ("gear", "low"))) in parts.states


TALL = """\
[parts."quayworks:tall"]
role = "transmission"
entity = ["quayworks:tall"]
only = {half = ["lower"], kind = ["oak", "ash"]}
pose = {axis = "axis"}
"""


def tall(half: str, entity: str | None = None, *, kind: str = "oak", body: str = TALL) -> Parts:
    found = Found(f"quayworks:tall[axis=x,half={half},kind={kind}]", entity)
    return parts_of(found, catalogues=load_catalogue_text(HEAD + body, FILE))


def test_a_block_that_its_type_leaves_out_is_no_part_and_not_counted() -> None:
    assert len(tall("lower", "quayworks:tall")) == 1
    assert len(tall("lower", "quayworks:tall", kind="ash")) == 1
    for parts in (tall("upper"), tall("upper", "quayworks:tall"), tall("lower", kind="elm")):
        assert (len(parts), parts.rejected) == (0, ())


def test_a_block_that_is_left_out_of_a_type_without_an_entity_is_not_counted_either() -> None:
    body = TALL.replace('["quayworks:tall"]', "false")
    assert len(tall("lower", body=body)) == 1
    assert (len(tall("upper", body=body)), tall("upper", body=body).rejected) == (0, ())


def test_another_entity_at_a_block_that_is_left_out_is_stale() -> None:
    for body in (TALL, TALL.replace('["quayworks:tall"]', "false")):
        parts = tall("upper", "quayworks:wheel", body=body)
        assert len(parts) == 0
        assert [one.reason for one in parts.rejected] == ["stale"]


def test_a_block_without_the_property_that_tells_is_not_understood() -> None:
    catalogues = load_catalogue_text(HEAD + TALL, FILE)
    found = Found("quayworks:tall[axis=x,kind=oak]", "quayworks:tall")
    parts = parts_of(found, catalogues=catalogues)
    assert [(one.reason, one.detail) for one in parts.rejected] == [
        ("not-understood", "property half is absent")
    ]


def test_a_block_that_one_property_leaves_out_needs_no_other() -> None:
    catalogues = load_catalogue_text(HEAD + TALL, FILE)
    parts = parts_of(Found("quayworks:tall[half=upper]", "quayworks:tall"), catalogues=catalogues)
    assert (len(parts), parts.rejected) == (0, ())
