"""Each kind of mistake, with its file, line, key path, what was found and what was expected."""

from __future__ import annotations

import pytest

from analyzer.base.mistake import Mistake
from tests.catalogue.texts import FILE, HEAD, SHAFT, WHEEL, mistakes_in, shaft

P = 'parts."quayworks:shaft"'


def only(line: int, key: str, found: str, expected: str) -> tuple[Mistake, ...]:
    return (Mistake(FILE, line, key, found, expected),)


def test_a_catalogue_without_mistakes_has_none() -> None:
    assert mistakes_in(SHAFT + WHEEL) == ()
    assert mistakes_in("") == ()


def test_a_misspelt_key_is_one_mistake_that_names_the_key_meant() -> None:
    body = shaft(role="", roll='"transmission"')
    (mistake,) = mistakes_in(body)
    assert mistake == Mistake(
        FILE,
        12,
        f"{P}.roll",
        'unknown key; did you mean "role"?',
        "one of the keys role, entity, only, pose, ends, rim, meets, link, switch, governor, "
        "rated_rpm, torque, active, least_rpm, speed_limit_rpm, fits, recorded_rpm",
    )


def test_a_misspelt_torque_of_a_mover_is_one_mistake() -> None:
    (mistake,) = mistakes_in(WHEEL.replace("torque", "torke"))
    assert mistake.key == 'parts."quayworks:wheel".torke'
    assert mistake.line == 14


def test_a_key_that_is_like_none_is_unknown_without_a_guess() -> None:
    (mistake,) = mistakes_in(shaft(colour='"red"'))
    assert (mistake.key, mistake.line, mistake.found) == (f"{P}.colour", 13, "unknown key")


def test_a_table_that_the_format_does_not_know_is_unknown() -> None:
    assert mistakes_in('[part."quayworks:shaft"]\n') == only(
        8, "part", 'unknown key; did you mean "parts"?', "one of the keys catalogue, parts"
    )


def test_a_misspelt_value_names_the_value_meant() -> None:
    assert mistakes_in(shaft(role='"transmision"')) == only(
        9,
        f"{P}.role",
        'found "transmision"; did you mean "transmission"?',
        "one of mover, machine, transmission",
    )


def test_a_missing_key_has_the_line_of_its_table() -> None:
    assert mistakes_in(shaft(pose="")) == only(
        8, f"{P}.pose", "the key is missing", "a table with one of axis, facing, front, cases"
    )


def test_a_missing_head_is_one_mistake() -> None:
    assert mistakes_in(SHAFT, head="") == only(
        1, "catalogue", "the key is missing", "the catalogue's head"
    )


HEADS = {
    "format": ("2", "found 2", "1"),
    "title": ('""', 'found ""', "a line of text"),
    "namespace": ('"Quay Works"', 'found "Quay Works"', "a namespace such as quayworks"),
    "version": ("1.0", 'found 1.0; put it in quotes: "1.0"', "a line of text"),
    "licence": ("true", 'found true; put it in quotes: "true"', "a line of text"),
}


@pytest.mark.parametrize("key", HEADS)
def test_each_key_of_the_head_says_what_it_has_to_be(key: str) -> None:
    value, found, expected = HEADS[key]
    lines = HEAD.splitlines()
    line = next(number for number, text in enumerate(lines) if text.startswith(f"{key} ="))
    without = "\n".join([*lines[:line], *lines[line + 1 :], ""])
    lines[line] = f"{key} = {value}"
    assert mistakes_in("", head="\n".join(lines)) == only(
        line + 1, f"catalogue.{key}", found, expected
    )
    assert mistakes_in("", head=without) == only(
        1, f"catalogue.{key}", "the key is missing", expected
    )


HEAD_OPTIONS = {
    "power_unit": ('"h\\u0007p"', 'found "h\\u0007p"', "a line of text"),
    "speed_limit_rpm": ("0", "found 0", "a number above 0"),
    "unequal_movers": ('"fast"', 'found "fast"; did you mean "fastest"?', None),
}


@pytest.mark.parametrize("key", HEAD_OPTIONS)
def test_each_optional_key_of_the_head_says_what_it_has_to_be(key: str) -> None:
    value, found, expected = HEAD_OPTIONS[key]
    assert mistakes_in(f"{key} = {value}\n") == only(
        8, f"catalogue.{key}", found, expected or "one of fastest, conflict"
    )


SHAFTS = {
    "a block name without a namespace": (
        SHAFT.replace('"quayworks:shaft"]\nrole', '"shaft"]\nrole'),
        (8, "parts.shaft", 'found "shaft"', "a block name such as quayworks:shaft"),
    ),
    "an entity that is true": (
        shaft(entity="true"),
        (10, f"{P}.entity", "found true", "a list of block-entity ids, or false"),
    ),
    "no entity id": (
        shaft(entity="[]"),
        (10, f"{P}.entity", "found an empty list", "a list of block-entity ids, at least one"),
    ),
    "an entity id with a space": (
        shaft(entity='["quayworks:shaft", "a shaft"]'),
        (10, f"{P}.entity[1]", 'found "a shaft"', "a block-entity id such as quayworks:shaft"),
    ),
    "an entity id twice": (
        shaft(entity='[\n"quayworks:shaft",\n"quayworks:shaft"]'),
        (12, f"{P}.entity[1]", 'found "quayworks:shaft" again', "each of them once"),
    ),
    "an entry that is no table": (
        '[parts]\n"quayworks:shaft" = 1\n',
        (9, P, "found 1", "a part's entry"),
    ),
    "an end on no side": (
        shaft(ends="{frnt = 1}"),
        (
            12,
            f"{P}.ends.frnt",
            'unknown key; did you mean "front"?',
            "one of the keys front, back, top, bottom, right, left",
        ),
    ),
    "an end of factor nought": (
        shaft(ends="{front = 0}"),
        (12, f"{P}.ends.front", "found 0", "a number other than 0"),
    ),
    "an end of factor nought for one value of a property": (
        shaft(ends='{front = {property = "gear", values = {low = 1, out = 0.0}}}'),
        (12, f"{P}.ends.front.values.out", "found 0.0", "a number other than 0"),
    ),
    "a factor that is text": (
        shaft(ends='{front = "1"}'),
        (12, f"{P}.ends.front", 'found "1"', None),
    ),
    "a default factor of nought": (
        shaft(ends='{front = {stored = "Gear", default = 0}}'),
        (12, f"{P}.ends.front.default", "found 0", "a number other than 0"),
    ),
    "a limit of nought": (
        shaft(speed_limit_rpm="0"),
        (13, f"{P}.speed_limit_rpm", "found 0", "a number above 0"),
    ),
    "a limit by property": (
        shaft(speed_limit_rpm='{property = "a", values = {b = 1}}'),
        (13, f"{P}.speed_limit_rpm", "found a table", "a number above 0"),
    ),
    "a class that is no text": (
        shaft(fits="8"),
        (13, f"{P}.fits", 'found 8; put it in quotes: "8"', "a line of text"),
    ),
    "a date": (
        shaft(fits="1979-05-27"),
        (13, f"{P}.fits", "found a date or time", "a line of text"),
    ),
    "a class of too many characters": (
        shaft(fits='"' + "x" * 201 + '"'),
        (13, f"{P}.fits", "found 201 characters", "a line of text of at most 200"),
    ),
}


@pytest.mark.parametrize("case", SHAFTS)
def test_a_mistake_in_an_entry_says_where_what_and_what_was_expected(case: str) -> None:
    body, (line, key, found, expected) = SHAFTS[case]
    (mistake,) = mistakes_in(body)
    assert (mistake.file, mistake.line, mistake.key) == (FILE, line, key)
    assert mistake.found == found
    assert expected is None or mistake.expected.startswith(expected)


RIMS = {
    "no teeth": ('{kind = "near"}', ("teeth", "the key is missing", "a number above 0")),
    "teeth nought": ('{kind = "near", teeth = 0}', ("teeth", "found 0", "a number above 0")),
    "negative teeth for one value": (
        '{kind = "near", teeth = {property = "size", values = {s = 8, l = -16}}}',
        ("teeth.values.l", "found -16", "a number above 0"),
    ),
    "no kind": ("{teeth = 8}", ("kind", "the key is missing", "one of near, far")),
    "another kind": (
        '{kind = "fat", teeth = 8}',
        ("kind", 'found "fat"; did you mean "far"?', "one of near, far"),
    ),
    "no placement": (
        '{kind = "far", teeth = 8, placements = []}',
        ("placements", "found an empty list", "a list of beside, diagonal, crossed, at least one"),
    ),
    "an unknown placement": (
        '{kind = "far", teeth = 8, placements = ["cross"]}',
        (
            "placements[0]",
            'found "cross"; did you mean "crossed"?',
            "one of beside, diagonal, crossed",
        ),
    ),
    "a placement twice": (
        '{kind = "far", teeth = 8, placements = ["crossed", "crossed"]}',
        ("placements[1]", 'found "crossed" again', "each of them once"),
    ),
    "a far rim beside another": (
        '{kind = "far", teeth = 8, placements = ["diagonal", "beside"]}',
        ("placements[1]", "found beside in a rim of kind far", "one of diagonal, crossed"),
    ),
    "a near rim crossed with another": (
        '{kind = "near", teeth = 8, placements = ["crossed"]}',
        ("placements[0]", "found crossed in a rim of kind near", "one of beside, diagonal"),
    ),
}


@pytest.mark.parametrize("case", RIMS)
def test_a_mistake_in_a_rim_says_what_a_rim_needs(case: str) -> None:
    rim, (key, found, expected) = RIMS[case]
    (mistake,) = mistakes_in(shaft(rim=rim))
    assert (mistake.line, mistake.key, mistake.found) == (13, f"{P}.rim.{key}", found)
    assert mistake.expected.startswith(expected)


POSES = {
    "a pose of nothing": ("{}", ("", "found none of its keys", None)),
    "a misspelt pose": (
        '{axes = "axis"}',
        ("", 'found none of its keys; did you mean "axis"?', None),
    ),
    "two poses at once": (
        '{axis = "axis", facing = "facing"}',
        ("", "found axis and facing together", None),
    ),
    "a pose that is text": ('"axis"', ("", 'found "axis"', None)),
    "a top without a front": ('{top = "up"}', ("", "found none of its keys", None)),
    "a front that is no face": (
        '{front = "upward"}',
        (".front", 'found "upward"', "one of east, west, up, down, south, north"),
    ),
    "a top along the front": (
        '{front = "east", top = "west"}',
        (
            ".top",
            "found west, which is not at a right angle to the front east",
            "one of up, down, south, north",
        ),
    ),
    "a property that is no text": (
        "{axis = 1}",
        (".axis", 'found 1; put it in quotes: "1"', "the name of a block property"),
    ),
    "no case": ("{cases = []}", (".cases", "found an empty list", "a list of cases")),
    "a case of nothing": (
        '{cases = [{when = {}, front = "up"}]}',
        (".cases[0].when", "found an empty table", "a table of property values, at least one"),
    ),
    "a case without a front": (
        '{cases = [{when = {a = "b"}}]}',
        (".cases[0].front", "the key is missing", "one of east, west, up, down, south, north"),
    ),
    "a value that is no text": (
        '{cases = [{when = {lit = true}, front = "up"}]}',
        (
            ".cases[0].when.lit",
            'found true; put it in quotes: "true"',
            "a value of a block property, as text",
        ),
    ),
    "a case's top along its front": (
        '{cases = [{when = {a = "b"}, front = "up", top = "up"}]}',
        (
            ".cases[0].top",
            "found up, which is not at a right angle to the front up",
            "one of east, west, south, north",
        ),
    ),
    "a case covered by a wider one": (
        '{cases = [{when = {a = "b"}, front = "up"}, {when = {c = "d"}, front = "up"}, '
        '{when = {a = "b", c = "e"}, front = "down"}]}',
        (
            ".cases[2].when",
            "case 1 already holds whenever this one does",
            "a case that no earlier one covers",
        ),
    ),
    "the same case twice": (
        '{cases = [{when = {a = "b"}, front = "up"}, {when = {a = "b"}, front = "down"}]}',
        (
            ".cases[1].when",
            "case 1 already holds whenever this one does",
            "a case that no earlier one covers",
        ),
    ),
}


@pytest.mark.parametrize("case", POSES)
def test_a_mistake_in_a_pose_says_what_a_pose_needs(case: str) -> None:
    pose, (key, found, expected) = POSES[case]
    (mistake,) = mistakes_in(shaft(pose=pose))
    assert (mistake.line, mistake.key) == (11, f"{P}.pose{key}")
    assert mistake.found.startswith(found)
    expected = expected or "a table with one of axis, facing, front, cases"
    assert mistake.expected.startswith(expected)


def test_a_narrower_case_before_a_wider_one_is_no_mistake() -> None:
    cases = '[{when = {a = "b", c = "e"}, front = "up"}, {when = {a = "b"}, front = "down"}]'
    assert mistakes_in(shaft(pose=f"{{cases = {cases}}}")) == ()


ROLES = {
    "a mover without a speed": (
        shaft(role='"mover"', torque="1"),
        (8, "rated_rpm", "the key is missing", "a number, since the role is mover"),
    ),
    "a mover without a torque": (
        shaft(role='"mover"', rated_rpm="1"),
        (8, "torque", "the key is missing", "a number of at least 0, since the role is mover"),
    ),
    "a machine without a torque": (
        shaft(role='"machine"'),
        (8, "torque", "the key is missing", "a number of at least 0, since the role is machine"),
    ),
    "a machine with a speed": (
        shaft(role='"machine"', torque="1", rated_rpm="1"),
        (14, "rated_rpm", "found rated_rpm with the role machine", "no such key there"),
    ),
    "a machine that can be switched off": (
        shaft(role='"machine"', torque="1", active="1"),
        (14, "active", "found active with the role machine", "no such key there"),
    ),
    "a transmission with a torque": (
        shaft(torque="1"),
        (13, "torque", "found torque with the role transmission", "no such key there"),
    ),
    "a negative torque": (
        shaft(role='"machine"', torque="-0.5"),
        (13, "torque", "found -0.5", "a number of at least 0"),
    ),
}


@pytest.mark.parametrize("case", ROLES)
def test_a_role_asks_for_its_numbers_and_refuses_others(case: str) -> None:
    body, (line, key, found, expected) = ROLES[case]
    assert mistakes_in(body) == only(line, f"{P}.{key}", found, expected)


NUMBERS = {
    "NaN": ("nan", "", "found NaN", "a number"),
    "an infinity": ("-inf", "", "found -Infinity", "a number, at most 1,000,000,000 in magnitude"),
    "beyond the magnitude": (
        "1_000_000_001",
        "",
        "found 1000000001",
        "a number, at most 1,000,000,000 in magnitude",
    ),
    "a little beyond the magnitude": (
        "1000000000.0000000000000000000000000000001",
        "",
        "found 1000000000.0000000000000000000000000000001",
        "a number, at most 1,000,000,000 in magnitude",
    ),
    "too many digits": (
        "0." + "1" * 41,
        "",
        "found 0." + "1" * 41,
        "a decimal of at most 40 digits",
    ),
    "digits far behind the point": ("1e-41", "", "found 1E-41", "a decimal of at most 40 digits"),
    "an exponent that no memory holds": (
        "1e999999999",
        "",
        "found 1E+999999999",
        "a number, at most 1,000,000,000 in magnitude",
    ),
    "nought with an exponent that no memory holds": (
        "0e999999999",
        "",
        "found 0E+999999999",
        "a decimal of at most 40 digits",
    ),
    "an exponent that no decimal has": (
        "1e99999999999999999999",
        "",
        "found Infinity",
        "a number, at most 1,000,000,000 in magnitude",
    ),
    "text": ('"8"', "", 'found "8"', "a number, a table with property"),
    "a truth value": ("true", "", "found true", "a number, a table with property"),
    "a table of another kind": ("{x = 'a'}", "", "found none of its keys", "a number, a table"),
    "two kinds at once": (
        "{property = 'a', values = {b = 1}, stored = 'c'}",
        "",
        "found property and stored together",
        "a number, a table",
    ),
    "a property without values": (
        "{property = 'a'}",
        ".values",
        "the key is missing",
        "a table of numbers by property value",
    ),
    "a property with no values": (
        "{property = 'a', values = {}}",
        ".values",
        "found an empty table",
        "a table of numbers by property value, at least one",
    ),
    "a value that is no number": (
        "{property = 'a', values = {b = 'c'}}",
        ".values.b",
        'found "c"',
        "a number",
    ),
    "a value that no property can have": (
        "{property = 'a', values = {'b c' = 1}}",
        '.values."b c"',
        'found "b c"',
        "a value of a block property, as text",
    ),
    "a path of nothing": (
        "{stored = []}",
        ".stored",
        "found an empty list",
        "a list of steps, at least one and at most 32",
    ),
    "an empty key": ("{stored = ''}", ".stored", 'found ""', "a key of a compound"),
    "a negative index": (
        "{stored = ['Drive', -1]}",
        ".stored[1]",
        "found -1",
        "an index of at least 0",
    ),
    "a step that is neither": (
        "{stored = ['Drive', 1.5]}",
        ".stored[1]",
        "found 1.5",
        "a key as text, or an index of at least 0",
    ),
    "a scale of nought": (
        "{stored = 'a', scale = 0}",
        ".scale",
        "found 0",
        "a number other than 0",
    ),
    "a default that is no number": (
        "{stored = 'a', default = 'none'}",
        ".default",
        'found "none"',
        "a number",
    ),
    "a misspelt scale": (
        "{stored = 'a', scales = 2}",
        ".scales",
        'unknown key; did you mean "scale"?',
        "one of the keys stored, scale, default",
    ),
}


@pytest.mark.parametrize("case", NUMBERS)
def test_a_number_that_is_none_says_what_a_number_can_be(case: str) -> None:
    value, key, found, expected = NUMBERS[case]
    (mistake,) = mistakes_in(WHEEL.replace("rated_rpm = 8", f"rated_rpm = {value}"))
    assert (mistake.line, mistake.key) == (13, f'parts."quayworks:wheel".rated_rpm{key}')
    assert mistake.found == found
    assert mistake.expected.startswith(expected)


def test_the_bounds_of_numbers_are_themselves_allowed() -> None:
    for value in ("1_000_000_000", "-1e9", "1e-40", "0." + "1" * 40):
        assert mistakes_in(WHEEL.replace("rated_rpm = 8", f"rated_rpm = {value}")) == ()


@pytest.mark.parametrize(
    ("before", "after", "key"),
    [
        ("rated_rpm = 8", "rated_rpm = {stored = 'Speed'}", "rated_rpm"),
        ("torque = 32", "torque = {stored = 'Torque'}", "torque"),
        ("torque = 32", "torque = 32\nactive = {stored = 'On'}", "active"),
        ("ends = {front = 1}", "ends = {front = {stored = 'Gear'}}", "ends.front"),
        (
            "torque = 32",
            "torque = 32\nrim = {kind = 'near', teeth = {stored = 'Teeth'}}",
            "rim.teeth",
        ),
    ],
)
def test_a_stored_number_needs_a_block_entity(before: str, after: str, key: str) -> None:
    body = WHEEL.replace(before, after)
    assert mistakes_in(body) == ()
    (mistake,) = mistakes_in(body.replace('["quayworks:wheel"]', "false"))
    assert mistake.key == f'parts."quayworks:wheel".{key}'
    assert mistake.found == "found a stored number in a part without a block entity"
    assert mistake.expected == ("a constant or a number by property, or a list of ids in entity")


def test_every_mistake_is_reported_at_once_in_the_order_of_lines() -> None:
    body = (
        shaft(role='"carrier"', ends="{front = 0, bck = 1}", rim='{kind = "far", teeth = -1}')
        + '[parts."quayworks:wheel"]\n'
        + 'role = "mover"\n'
        + "entity = false\n"
        + 'pose = {front = "up", top = "down"}\n'
        + "rated_rpm = {stored = 'Speed'}\n"
        + "[sources]\n"
    )
    mistakes = mistakes_in(body, head=HEAD.replace("format = 1", "format = 2"))
    assert [(mistake.line, mistake.key) for mistake in mistakes] == [
        (2, "catalogue.format"),
        (9, f"{P}.role"),
        (12, f"{P}.ends.bck"),
        (12, f"{P}.ends.front"),
        (13, f"{P}.rim.teeth"),
        (14, 'parts."quayworks:wheel".torque'),
        (17, 'parts."quayworks:wheel".pose.top'),
        (18, 'parts."quayworks:wheel".rated_rpm'),
        (19, "sources"),
    ]


def test_a_mistake_reads_as_one_line_with_place_key_fault_and_expectation() -> None:
    (mistake,) = mistakes_in(shaft(role='"transmision"'))
    assert str(mistake) == (
        'quay.toml:9: parts."quayworks:shaft".role: found "transmision"; did you mean '
        '"transmission"?; expected one of mover, machine, transmission'
    )
