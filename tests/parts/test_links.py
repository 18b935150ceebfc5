"""Link partners as block entities store them."""

from __future__ import annotations

import itertools
import random

import numpy as np
import pytest

from analyzer.catalogue.catalogue import Field
from analyzer.catalogue.load import load_catalogue_text
from analyzer.parts.links import unpack
from analyzer.parts.make import make_parts
from analyzer.parts.parts import Parts, Unusable
from tests.catalogue.texts import FILE, HEAD
from tests.parts.scans import (
    COMPOUND,
    DOUBLE,
    FLOAT,
    INT,
    INTS,
    LIST,
    LONG,
    STRING,
    Found,
    Path,
    scan_of,
)

BYTE, SHORT = 1, 2
NAMED = '{stored = "To", form = "named", names = ["X", "Y", "Z"]}'
IN_A_LIST = '{stored = ["Belt", "To"], form = "list"}'
PACKED = '{stored = "To", form = "packed"}'
#: Data versions on either side of the change of packed positions.
OLD, NEW = 1951, 1952

Stored = dict[Path, tuple[int, float]]
Position = tuple[int, int, int]


def pulleys(partner: str, *found: Found) -> Parts:
    """Return pulleys whose partner is stored as the catalogue says."""
    text = (
        f'{HEAD}[parts."q:pulley"]\nrole = "transmission"\nentity = ["q:pulley"]\n'
        f'pose = {{facing = "facing"}}\nlink = {{partner = {partner}}}\n'
    )
    return make_parts(scan_of(found), load_catalogue_text(text, FILE))


def pulley(
    stored: Stored, *, at: Position = (3, 64, -20), facing: str = "east", version: int = NEW
) -> Found:
    return Found(f"q:pulley[facing={facing}]", "q:pulley", stored, at=at, version=version)


def named(x: float, y: float, z: float, tag: int = INT) -> Stored:
    return {
        ("To",): (COMPOUND, 0),
        ("To", "X"): (tag, x),
        ("To", "Y"): (tag, y),
        ("To", "Z"): (tag, z),
    }


def listed(*numbers: float, holder: int = LIST, tag: int = INT) -> Stored:
    items = {("Belt", "To", index): (tag, number) for index, number in enumerate(numbers)}
    return {("Belt", "To"): (holder, 0), **items}


def towards(parts: Parts) -> list[tuple[int, Position]]:
    """Return the part and the position of each link."""
    return [
        (part, (x, y, z))
        for part, (x, y, z) in zip(
            parts.links.part.tolist(), parts.links.towards.tolist(), strict=True
        )
    ]


def test_parts_without_a_stored_partner_have_no_links() -> None:
    parts = pulleys(NAMED)
    assert (towards(parts), parts.links.towards.shape) == ([], (0, 3))
    assert (parts.links.part.dtype, parts.links.towards.dtype) == (np.int32, np.int64)


def test_a_partner_is_three_named_integers_of_any_width() -> None:
    for tag in (BYTE, SHORT, INT, LONG):
        parts = pulleys(NAMED, pulley(named(-7, 70, 12, tag)))
        assert (towards(parts), parts.unusable) == ([(0, (-7, 70, 12))], ())


def test_a_partner_is_the_first_three_of_a_list_or_an_array() -> None:
    for holder in (LIST, INTS):
        parts = pulleys(IN_A_LIST, pulley(listed(-7, -60, 12, holder=holder)))
        assert (towards(parts), parts.unusable) == ([(0, (-7, -60, 12))], ())


def test_names_that_are_left_out_are_x_y_and_z() -> None:
    stored: Stored = {("To", "x"): (INT, 1), ("To", "y"): (INT, 2), ("To", "z"): (INT, 3)}
    parts = pulleys('{stored = "To", form = "named"}', pulley(stored))
    assert towards(parts) == [(0, (1, 2, 3))]


def test_named_integers_may_stand_in_the_block_entity_itself() -> None:
    partner = '{stored = [], form = "named", names = ["BX", "BY", "BZ"]}'
    stored: Stored = {("BX",): (INT, 1), ("BY",): (INT, 2), ("BZ",): (INT, 3)}
    parts = pulleys(partner, pulley(stored), pulley({}, at=(4, 0, 0)))
    assert (towards(parts), parts.unusable) == ([(0, (1, 2, 3))], ())
    del stored[("BY",)]
    assert pulleys(partner, pulley(stored)).unusable == (
        Unusable(0, Field.PARTNER, "BY", "absent"),
    )


@pytest.mark.parametrize("facing", ["east", "west", "up", "north"])
def test_a_relative_partner_is_counted_along_the_world_axes_whatever_the_pose(facing: str) -> None:
    partner = NAMED.replace("}", ", relative = true}")
    parts = pulleys(partner, pulley(named(-10, 1, 4), at=(3, 64, -20), facing=facing))
    assert towards(parts) == [(0, (-7, 65, -16))]


def test_a_relative_partner_at_the_edge_of_what_positions_hold_does_not_overflow() -> None:
    partner = NAMED.replace("}", ", relative = true}")
    edge = 2**31 - 1
    parts = pulleys(
        partner,
        pulley(named(10**9, 10**9, -(10**9)), at=(edge, edge, -edge - 1)),
        pulley(named(-(10**9), 0, 0), at=(-edge - 1, 0, 0)),
    )
    assert towards(parts) == [
        (0, (-edge - 1 - 10**9, 0, 0)),
        (1, (edge + 10**9, edge + 10**9, -edge - 1 - 10**9)),
    ]


def test_a_part_with_nothing_at_the_path_is_not_linked_and_nothing_is_wrong() -> None:
    for partner in (NAMED, IN_A_LIST, PACKED):
        parts = pulleys(partner, pulley({("Other",): (INT, 1)}))
        assert (towards(parts), parts.unusable) == ([], ())
    nothing: Stored = {("Belt",): (COMPOUND, 0)}
    assert pulleys(IN_A_LIST, pulley(nothing)).unusable == ()


NO_POSITION: dict[str, tuple[str, Stored, str, str]] = {
    "two of three": (
        NAMED,
        {("To",): (COMPOUND, 0), ("To", "X"): (INT, 1), ("To", "Z"): (INT, 3)},
        "To.Y",
        "absent",
    ),
    "one of three": (NAMED, {("To", "Y"): (INT, 1)}, "To.X", "absent"),
    "a list of two": (IN_A_LIST, listed(1, 2), "Belt.To[2]", "absent"),
    "an empty list": (IN_A_LIST, listed(), "Belt.To", "list"),
    "an empty compound": (NAMED, {("To",): (COMPOUND, 0)}, "To", "compound"),
    "text": (NAMED, {("To",): (STRING, 0)}, "To", "string"),
    "a number": (IN_A_LIST, {("Belt", "To"): (INT, 5)}, "Belt.To", "5"),
    "text for one number": (NAMED, {**named(1, 2, 3), ("To", "Z"): (STRING, 0)}, "To.Z", "string"),
    "floats": (NAMED, named(1, 2.5, 3, FLOAT), "To.X", "1.0"),
    "doubles in a list": (IN_A_LIST, listed(1.5, 2, 3, tag=DOUBLE), "Belt.To[0]", "1.5"),
    "a coordinate beyond the bound": (NAMED, named(1, 2, 10**9 + 1, LONG), "To.Z", "1000000001"),
    "the least long": (NAMED, named(-(2**63), 0, 0, LONG), "To.X", str(-(2**63))),
    "an integer that is no long": (PACKED, {("To",): (INT, 5)}, "To", "5"),
    "a double for a long": (PACKED, {("To",): (DOUBLE, 5.0)}, "To", "5.0"),
    "a compound for a long": (PACKED, {("To",): (COMPOUND, 0)}, "To", "compound"),
}


@pytest.mark.parametrize("case", NO_POSITION)
def test_data_that_is_no_position_is_one_unusable_number_and_no_link(case: str) -> None:
    partner, stored, path, found = NO_POSITION[case]
    good = {NAMED: named(1, 2, 3), IN_A_LIST: listed(1, 2, 3), PACKED: {("To",): (LONG, 0)}}[
        partner
    ]
    parts = pulleys(
        partner,
        pulley(good, at=(0, 0, 0)),
        pulley(stored, at=(1, 0, 0)),
        pulley(good, at=(2, 0, 0)),
    )
    assert [part for part, _ in towards(parts)] == [0, 2]
    assert parts.unusable == (Unusable(1, Field.PARTNER, path, found),)


# Example of wiki.vg, "Data types", Position (its bits quoted from memory):
# x 18357644, y 831, z -20882616 in the layout of 1.14.
WIKI_BITS = "0100011000000111011000110010110000010101101101001000001100111111"


def as_long(bits: str) -> int:
    """Return the number that 64 bits stand for, signed."""
    number = int(bits, 2)
    return number - 2**64 if bits[0] == "1" else number


def test_the_example_of_the_layout_since_1_14_is_read_as_it_says() -> None:
    parts = pulleys(PACKED, pulley({("To",): (LONG, as_long(WIKI_BITS))}, version=NEW))
    assert towards(parts) == [(0, (18357644, 831, -20882616))]


#: Worked by hand. -1 is ones only; -2 has a nought in the lowest place; -33554432 is a one and
#: noughts in 26 bits, and -2048 is that in 12 bits.
BY_HAND: list[tuple[int, str, Position]] = [
    (NEW, "1" * 26 + "0" * 25 + "1" + "0" * 12, (-1, 0, 1)),
    (NEW, "0" * 25 + "1" + "1" * 25 + "0" + "1" * 12, (1, -1, -2)),
    (NEW, "1" + "0" * 25 + "0" + "1" * 25 + "1" + "0" * 11, (-33554432, -2048, 33554431)),
    (OLD, "1" * 26 + "0" * 11 + "1" + "0" * 26, (-1, 1, 0)),
    (OLD, "0" * 25 + "1" + "1" * 12 + "1" * 25 + "0", (1, -1, -2)),
    (OLD, "1" + "0" * 25 + "0" + "1" * 11 + "1" + "0" * 25, (-33554432, 2047, -33554432)),
]


@pytest.mark.parametrize(("version", "bits", "position"), BY_HAND)
def test_a_packed_position_is_that_of_its_bits(version: int, bits: str, position: Position) -> None:
    parts = pulleys(PACKED, pulley({("To",): (LONG, as_long(bits))}, version=version))
    assert towards(parts) == [(0, position)]


def test_the_same_bits_are_another_position_in_an_older_chunk() -> None:
    # 64 in the lowest bits: y since 1.14, z before.
    parts = pulleys(
        PACKED,
        pulley({("To",): (LONG, 64)}, at=(0, 0, 0), version=OLD),
        pulley({("To",): (LONG, 64)}, at=(1, 0, 0), version=NEW),
        pulley({("To",): (LONG, 64)}, at=(2, 0, 0), version=1519),
        pulley({("To",): (LONG, 64)}, at=(3, 0, 0), version=4671),
    )
    assert [at for _, at in towards(parts)] == [(0, 0, 64), (0, 64, 0), (0, 0, 64), (0, 64, 0)]


def packed_bits(version: int, position: Position) -> str:
    """Return a position as 64 binary digits, written field by field."""
    x, y, z = (
        format(value % 2**width, f"0{width}b")
        for value, width in zip(position, (26, 12, 26), strict=True)
    )
    return x + z + y if version >= NEW else x + y + z


def test_packed_positions_are_those_that_writing_them_bit_by_bit_gives() -> None:
    rng = random.Random(26)
    edges = [
        (x, y, z)
        for x, y, z in itertools.product(
            (-(2**25), -1, 0, 2**25 - 1), (-2048, -1, 0, 2047), (-(2**25), -1, 0, 2**25 - 1)
        )
    ]
    drawn = [
        (rng.randrange(-(2**25), 2**25), rng.randrange(-2048, 2048), rng.randrange(-(2**25), 2**25))
        for _ in range(500)
    ]
    for version in (1343, OLD, NEW, 3465):
        positions = edges + drawn
        longs = [as_long(packed_bits(version, position)) for position in positions]
        versions = np.full(len(longs), version, np.int32)
        found = unpack(np.array(longs, np.int64), versions).tolist()
        assert [tuple(one) for one in found] == positions


def test_a_packed_position_can_be_relative() -> None:
    partner = PACKED.replace("}", ", relative = true}")
    stored = {("To",): (LONG, as_long(packed_bits(NEW, (-2, -3, 5))))}
    assert towards(pulleys(partner, pulley(stored, at=(3, 64, -20)))) == [(0, (1, 61, -15))]


def test_links_are_sorted_by_part_whichever_types_store_them() -> None:
    text = HEAD
    for name, form in (("a", "packed"), ("b", "list"), ("c", "packed")):
        text += (
            f'[parts."q:{name}"]\nrole = "machine"\ntorque = 1\nentity = ["q:e"]\n'
            f'pose = {{front = "up"}}\nlink = {{partner = {{stored = "To", form = "{form}"}}}}\n'
        )
    long: Stored = {("To",): (LONG, 64)}
    three: Stored = {("To", index): (INT, index) for index in range(3)}
    found = [Found(f"q:{name}", "q:e", three if name == "b" else long) for name in "cabacb"]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert [part for part, _ in towards(parts)] == [0, 1, 2, 3, 4, 5]
    assert {at for part, at in towards(parts) if part in (2, 5)} == {(0, 1, 2)}
    assert not parts.links.part.flags.writeable
    assert not parts.links.towards.flags.writeable


def test_only_candidates_that_are_parts_have_links() -> None:
    parts = pulleys(
        NAMED,
        pulley(named(1, 2, 3), at=(0, 0, 0), facing="askew"),
        pulley(named(4, 5, 6), at=(1, 0, 0)),
    )
    assert len(parts) == 1
    assert towards(parts) == [(0, (4, 5, 6))]


def test_unusable_partners_are_at_most_one_a_part_and_sorted_with_the_other_numbers() -> None:
    text = (
        f'{HEAD}[parts."q:p"]\nrole = "transmission"\nentity = ["q:p"]\npose = {{front = "up"}}\n'
        f'link = {{diameter = {{stored = "D"}}, partner = {NAMED}}}\n'
    )
    wrong: Stored = {("To",): (STRING, 0)}
    parts = make_parts(
        scan_of([Found("q:p", "q:p", wrong), Found("q:p", "q:p", {**wrong, ("D",): (INT, 0)})]),
        load_catalogue_text(text, FILE),
    )
    assert parts.unusable == (
        Unusable(0, Field.DIAMETER, "D", "absent"),
        Unusable(0, Field.PARTNER, "To", "string"),
        Unusable(1, Field.DIAMETER, "D", "0"),
        Unusable(1, Field.PARTNER, "To", "string"),
    )
