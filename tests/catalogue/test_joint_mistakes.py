"""Mistakes in links, switches, governors, own offsets, cells and records of one entry."""

from __future__ import annotations

import pytest

from analyzer.base.mistake import Mistake
from tests.catalogue.texts import FILE, HEAD, WHEEL, mistakes_in, shaft

P = 'parts."quayworks:shaft"'
STEPS = "a list of steps along front, top and right, 3 of them"
STEP = "a whole number from -8 to 8"
PORTS = "one of front, back, top, bottom, right, left, rim, link"


def only(line: int, key: str, found: str, expected: str) -> tuple[Mistake, ...]:
    return (Mistake(FILE, line, f"{P}.{key}", found, expected),)


#: Key, value, and the mistake: where below the key, what was found, what was expected.
KEYS: dict[str, tuple[str, str, tuple[str, str, str]]] = {
    "only without a property": (
        "only",
        "{}",
        ("", "found an empty table", "a table of lists of values by property, at least one"),
    ),
    "only with one value that is no list": (
        "only",
        '{half = "lower"}',
        (".half", 'found "lower"', "a list of values of the property"),
    ),
    "only without a value": (
        "only",
        "{half = []}",
        (
            ".half",
            "found an empty list",
            "a list of values of the property, at least one and at most 256",
        ),
    ),
    "only with a value twice": (
        "only",
        '{half = ["lower", "lower"]}',
        (".half[1]", 'found "lower" again', "each of them once"),
    ),
    "only with a value that is no text": (
        "only",
        "{lit = [true]}",
        (
            ".lit[0]",
            'found true; put it in quotes: "true"',
            "a value of a block property, as text",
        ),
    ),
    "a cell of two steps": (
        "ends",
        "{front = {factor = 1, cell = [0, 1]}}",
        (".front.cell", "found 2 items", STEPS),
    ),
    "a cell of no steps": (
        "ends",
        "{front = {factor = 1, cell = []}}",
        (".front.cell", "found an empty list", STEPS),
    ),
    "a cell too far away": (
        "ends",
        "{front = {factor = 1, cell = [0, 9, 0]}}",
        (".front.cell[1]", "found 9", STEP),
    ),
    "a cell between two blocks": (
        "rim",
        '{kind = "near", teeth = 8, cell = [0, 0.5, 0]}',
        (".cell[1]", "found 0.5", STEP),
    ),
    "a factor of nought in a table": (
        "ends",
        "{front = {factor = 0, cell = [0, 1, 0]}}",
        (".front.factor", "found 0", "a number other than 0"),
    ),
    "a cell without a factor": (
        "ends",
        "{front = {cell = [0, 1, 0]}}",
        (
            ".front",
            "found none of its keys",
            "a number other than 0, a table with property and values, or a table with stored, "
            "or a table with factor and cell",
        ),
    ),
    "a link that is no table": ("link", "true", ("", "found true", "a link")),
    "a belt crossed by a number": (
        "link",
        "{crossed = 1}",
        (".crossed", "found 1", "true or false"),
    ),
    "a diameter of nought": (
        "link",
        "{diameter = 0}",
        (".diameter", "found 0", "a number above 0"),
    ),
    "a partner without a form": (
        "link",
        '{partner = {stored = "To"}}',
        (".partner.form", "the key is missing", "one of named, list, packed"),
    ),
    "a partner of an unknown form": (
        "link",
        '{partner = {stored = "To", form = "pack"}}',
        (".partner.form", 'found "pack"; did you mean "packed"?', "one of named, list, packed"),
    ),
    "a partner stored nowhere": (
        "link",
        '{partner = {form = "packed"}}',
        (".partner.stored", "the key is missing", "a key as text, or a list of keys and indices"),
    ),
    "two names": (
        "link",
        '{partner = {stored = "To", form = "named", names = ["x", "z"]}}',
        (".partner.names", "found 2 items", "a list of the keys of x, y and z, 3 of them"),
    ),
    "a name twice": (
        "link",
        '{partner = {stored = "To", form = "named", names = ["x", "y", "x"]}}',
        (".partner.names[2]", 'found "x" again', "each of them once"),
    ),
    "names of a list": (
        "link",
        '{partner = {stored = "To", form = "list", names = ["x", "y", "z"]}}',
        (".partner.names", "found names with the form list", "no such key there"),
    ),
    "names of a packed position": (
        "link",
        '{partner = {stored = "To", form = "packed", names = ["x", "y", "z"]}}',
        (".partner.names", "found names with the form packed", "no such key there"),
    ),
    "a packed position that is the block entity": (
        "link",
        '{partner = {stored = [], form = "packed"}}',
        (".partner.stored", "found an empty list with the form packed", "at least one step"),
    ),
    "a list that is the block entity": (
        "link",
        '{partner = {stored = [], form = "list"}}',
        (".partner.stored", "found an empty list with the form list", "at least one step"),
    ),
    "a switch of no kind": (
        "switch",
        '{opens = ["front"], on = 1}',
        (".kind", "the key is missing", "one of clutch, reverser"),
    ),
    "a switch of an unknown kind": (
        "switch",
        '{kind = "coupler", opens = ["front"], on = 1}',
        (".kind", 'found "coupler"', "one of clutch, reverser"),
    ),
    "a switch that nothing turns on": (
        "switch",
        '{kind = "clutch", opens = ["front"]}',
        (
            ".on",
            "the key is missing",
            "a number, a table with property and values, or a table with stored",
        ),
    ),
    "a clutch that opens nothing": (
        "switch",
        '{kind = "clutch", on = 1}',
        (".opens", "the key is missing", "a list of ports, since the kind is clutch"),
    ),
    "a clutch that opens an empty list": (
        "switch",
        '{kind = "clutch", opens = [], on = 1}',
        (".opens", "found an empty list", "a list of ports, at least one and at most 8"),
    ),
    "a clutch that flips": (
        "switch",
        '{kind = "clutch", opens = ["front"], flips = "back", on = 1}',
        (".flips", "found flips with the kind clutch", "no such key there"),
    ),
    "a reverser that flips nothing": (
        "switch",
        '{kind = "reverser", on = 1}',
        (".flips", "the key is missing", f"{PORTS}, since the kind is reverser"),
    ),
    "a reverser that opens": (
        "switch",
        '{kind = "reverser", opens = ["front"], flips = "back", on = 1}',
        (".opens", "found opens with the kind reverser", "no such key there"),
    ),
    "a port that there is not": (
        "switch",
        '{kind = "clutch", opens = ["frnt"], on = 1}',
        (".opens[0]", 'found "frnt"; did you mean "front"?', PORTS),
    ),
    "own offsets as a port": (
        "switch",
        '{kind = "clutch", opens = ["offset"], on = 1}',
        (".opens[0]", 'found "offset"', PORTS),
    ),
    "a port twice": (
        "switch",
        '{kind = "clutch", opens = ["front", "front"], on = 1}',
        (".opens[1]", 'found "front" again', "each of them once"),
    ),
    "a port that the type has not": (
        "switch",
        '{kind = "clutch", opens = ["front", "rim"], on = 1}',
        (".opens[1]", "found rim, which the type does not have", "one of front, back"),
    ),
    "a flipped port that the type has not": (
        "switch",
        '{kind = "reverser", flips = "left", on = 1}',
        (".flips", "found left, which the type does not have", "one of front, back"),
    ),
    "a governor at a port that the type has not": (
        "governor",
        '{port = "link", set_rpm = 4, sense = "own"}',
        (".port", "found link, which the type does not have", "one of front, back"),
    ),
    "a governor without a sense": (
        "governor",
        '{port = "front", set_rpm = 4}',
        (".sense", "the key is missing", "one of own, follow"),
    ),
    "a governor without a speed": (
        "governor",
        '{port = "front", sense = "own"}',
        (
            ".set_rpm",
            "the key is missing",
            "a number, a table with property and values, or a table with stored",
        ),
    ),
    "a record about nothing": (
        "recorded_rpm",
        '{stored = "Speed"}',
        (".about", "the key is missing", "one of front, axis"),
    ),
    "a record that has a default": (
        "recorded_rpm",
        '{stored = "Speed", about = "axis", default = 0}',
        (".default", "unknown key", "one of the keys stored, scale, about"),
    ),
    "a record of scale nought": (
        "recorded_rpm",
        '{stored = "Speed", scale = 0, about = "axis"}',
        (".scale", "found 0", "a number other than 0"),
    ),
    "no own offset": (
        "meets",
        "[]",
        ("", "found an empty list", "a list of own offsets, at least one and at most 64"),
    ),
    "an own offset of neither form": (
        "meets",
        '[{at = [0, 1, 0], types = ["quayworks:shaft"]}]',
        ("[0]", "found none of its keys", "a table with one of ratio, toothed"),
    ),
    "an own offset of both forms": (
        "meets",
        '[{at = [0, 1, 0], types = ["quayworks:shaft"], ratio = 1, toothed = true}]',
        ("[0]", "found ratio and toothed together", "a table with one of ratio, toothed"),
    ),
    "an offset that is not toothed": (
        "meets",
        '[{at = [0, 1, 0], types = ["quayworks:shaft"], toothed = false}]',
        ("[0].toothed", "found false", "true"),
    ),
    "a ratio of nought": (
        "meets",
        '[{at = [0, 1, 0], types = ["quayworks:shaft"], ratio = 0}]',
        ("[0].ratio", "found 0", "a number other than 0"),
    ),
    "a ratio over nought": (
        "meets",
        '[{at = [0, 1, 0], types = ["quayworks:shaft"], ratio = [1, 0]}]',
        ("[0].ratio[1]", "found 0", "a number other than 0"),
    ),
    "a ratio of three": (
        "meets",
        '[{at = [0, 1, 0], types = ["quayworks:shaft"], ratio = [1, 2, 3]}]',
        ("[0].ratio", "found 3 items", "a list of numerator and denominator, 2 of them"),
    ),
    "a contact where the ratio is stated": (
        "meets",
        '[{at = [0, 1, 0], types = ["quayworks:shaft"], ratio = 1, contact = [0, 1, 0]}]',
        ("[0].contact", "unknown key", "one of the keys ratio, at, types"),
    ),
    "an offset to the part itself": (
        "meets",
        '[{at = [0, 0, 0], types = ["quayworks:shaft"], ratio = 1}]',
        ("[0].at", "found the part's own block", "an offset to another block"),
    ),
    "an offset too far away": (
        "meets",
        '[{at = [0, 0, -9], types = ["quayworks:shaft"], ratio = 1}]',
        ("[0].at[2]", "found -9", STEP),
    ),
    "an offset that meets nothing": (
        "meets",
        "[{at = [0, 0, 1], types = [], ratio = 1}]",
        (
            "[0].types",
            "found an empty list",
            "a list of block names, at least one and at most 256",
        ),
    ),
    "an offset that meets a type twice": (
        "meets",
        '[{at = [0, 0, 1], types = ["quayworks:shaft", "quayworks:shaft"], ratio = 1}]',
        ("[0].types[1]", 'found "quayworks:shaft" again', "each of them once"),
    ),
}


@pytest.mark.parametrize("case", KEYS)
def test_a_mistake_in_a_key_says_where_what_and_what_was_expected(case: str) -> None:
    key, value, (below, found, expected) = KEYS[case]
    body = shaft(**{key: value})
    line = 8 + body.splitlines().index(f"{key} = {value}")
    assert mistakes_in(body) == only(line, f"{key}{below}", found, expected)


def test_a_type_without_any_port_has_none_that_a_governor_could_hold() -> None:
    body = shaft(ends="", governor='{port = "front", set_rpm = 4, sense = "own"}')
    assert mistakes_in(body) == only(
        12,
        "governor.port",
        "found front, which the type does not have",
        "a port that the type has; it has none",
    )


def test_a_type_has_not_both_a_switch_and_a_governor() -> None:
    body = shaft(
        governor='{port = "front", set_rpm = 4, sense = "own"}',
        switch='{kind = "reverser", flips = "back", on = 1}',
    )
    assert mistakes_in(body) == only(
        13, "governor", "found governor together with switch", "one of the two"
    )


def test_only_transmissions_are_governors_and_only_machines_have_a_least_speed() -> None:
    governor = 'governor = {port = "front", set_rpm = 4, sense = "own"}\n'
    (mistake,) = mistakes_in(WHEEL + governor)
    assert (mistake.line, mistake.found) == (15, "found governor with the role mover")
    machine = shaft(role='"machine"', torque="1") + governor
    assert [one.found for one in mistakes_in(machine)] == ["found governor with the role machine"]
    (mistake,) = mistakes_in(WHEEL + "least_rpm = 1\n")
    assert (mistake.line, mistake.found) == (15, "found least_rpm with the role mover")
    assert [one.found for one in mistakes_in(shaft(least_rpm="1"))] == [
        "found least_rpm with the role transmission"
    ]
    (mistake,) = mistakes_in(shaft(role='"machine"', torque="1", least_rpm="-1"))
    assert (mistake.found, mistake.expected) == ("found -1", "a number of at least 0")


def test_movers_and_machines_may_have_a_link_and_a_switch() -> None:
    more = (
        "link = {diameter = 2}\n"
        'switch = {kind = "clutch", opens = ["front", "link"], on = {stored = "On"}}\n'
    )
    assert mistakes_in(WHEEL + more) == ()
    assert mistakes_in(shaft(role='"machine"', torque="1") + more) == ()


STORED = {
    "a factor on another cell": (
        "ends",
        '{front = {factor = {stored = "N"}}}',
        "ends.front.factor",
    ),
    "a diameter": ("link", '{diameter = {stored = "N"}}', "link.diameter"),
    "a set speed": (
        "governor",
        '{port = "front", set_rpm = {stored = "N"}, sense = "own"}',
        "governor.set_rpm",
    ),
    "what turns a switch on": (
        "switch",
        '{kind = "clutch", opens = ["front"], on = {stored = "N"}}',
        "switch.on",
    ),
}


@pytest.mark.parametrize("case", STORED)
def test_a_stored_number_of_the_new_keys_needs_a_block_entity(case: str) -> None:
    key, value, where = STORED[case]
    assert mistakes_in(shaft(**{key: value})) == ()
    (mistake,) = mistakes_in(shaft(**{key: value, "entity": "false"}))
    assert mistake.key == f"{P}.{where}"
    assert mistake.found == "found a stored number in a part without a block entity"


def test_a_least_speed_that_is_stored_needs_a_block_entity() -> None:
    body = shaft(role='"machine"', torque="1", least_rpm='{stored = "N"}')
    assert mistakes_in(body) == ()
    assert len(mistakes_in(body.replace('["quayworks:shaft"]', "false"))) == 1


def test_a_partner_and_a_record_need_a_block_entity() -> None:
    partner = '{partner = {stored = "To", form = "packed"}}'
    expected = "no such key there, or a list of ids in entity"
    assert mistakes_in(shaft(entity="false", link=partner)) == only(
        13,
        "link.partner",
        "found a stored partner in a part without a block entity",
        expected,
    )
    record = '{stored = "Speed", about = "axis"}'
    assert mistakes_in(shaft(entity="false", recorded_rpm=record)) == only(
        13, "recorded_rpm", "found a stored speed in a part without a block entity", expected
    )
    assert mistakes_in(shaft(entity="false", link="{}")) == ()


WARNINGS = {
    "a share above one": ("thin_headroom = 1.01", "found 1.01", "a number from 0 to 1"),
    "a share below nought": ("thin_headroom = -0.1", "found -0.1", "a number from 0 to 1"),
    "no parts at all": ("heavy_parts = 0", "found 0", "a whole number of at least 1"),
    "a chunk and a half": ("heavy_chunks = 1.5", "found 1.5", "a whole number of at least 1"),
    "switches without end": (
        "heavy_switches = 1_000_000_001",
        "found 1000000001",
        "a whole number of at least 1",
    ),
}


@pytest.mark.parametrize("case", WARNINGS)
def test_a_threshold_beyond_its_bounds_says_what_it_can_be(case: str) -> None:
    line, found, expected = WARNINGS[case]
    key = f"catalogue.warnings.{line.split()[0]}"
    assert mistakes_in(f"[catalogue.warnings]\n{line}\n") == (
        Mistake(FILE, 9, key, found, expected),
    )


def test_the_bounds_of_thresholds_are_themselves_allowed() -> None:
    for line in ("thin_headroom = 0", "thin_headroom = 1", "heavy_parts = 1"):
        assert mistakes_in(f"[catalogue.warnings]\n{line}\n") == ()


def test_a_misspelt_threshold_names_the_one_meant() -> None:
    (mistake,) = mistakes_in("warnings = {heavy_part = 3}\n", head=HEAD.rstrip("\n") + "\n")
    assert mistake.found == 'unknown key; did you mean "heavy_parts"?'
