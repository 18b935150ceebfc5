"""What the keys for links, switches, governors, own offsets and records are read as."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.catalogue.catalogue import (
    ByProperty,
    Constant,
    End,
    Governor,
    Link,
    Meeting,
    Partner,
    Port,
    Recorded,
    Stored,
    Switch,
    Warnings,
)
from analyzer.catalogue.load import load_catalogue_text
from tests.catalogue.texts import FILE, HEAD, SHAFT, shaft, type_of

ONE = Constant(Fraction(1))


def test_without_the_keys_a_type_has_none_of_it() -> None:
    found = type_of(SHAFT)
    assert (found.only, found.meets, found.link, found.switch) == ((), (), None, None)
    assert (found.governor, found.recorded, found.least_rpm) == (None, None, None)
    assert load_catalogue_text(HEAD + SHAFT, FILE).sources[0].warnings == Warnings()


def test_thresholds_of_warnings_are_those_given_and_otherwise_the_defaults() -> None:
    head = HEAD + "[catalogue.warnings]\nthin_headroom = 0.25\nheavy_switches = 7\n"
    assert load_catalogue_text(head, FILE).sources[0].warnings == Warnings(
        thin_headroom=Fraction(1, 4), heavy_switches=7
    )
    head = HEAD + "[catalogue]\nwarnings = {thin_headroom = 0, heavy_parts = 1, heavy_chunks = 2}\n"
    head = head.replace("\n[catalogue]\nwarnings", "\nwarnings")
    assert load_catalogue_text(head, FILE).sources[0].warnings == Warnings(Fraction(0), 1, 2, 32)


def test_only_is_sorted_by_property_and_value() -> None:
    only = '{kind = ["oak", "ash"], half = ["lower"]}'
    assert type_of(shaft(only=only)).only == (("half", ("lower",)), ("kind", ("ash", "oak")))


def test_an_end_may_be_a_table_with_a_factor_of_any_form_and_a_cell() -> None:
    ends = (
        '{front = {factor = 1}, back = {factor = {stored = "Gear"}, cell = [0, -1, 8]}, '
        "top = {factor = -2.5, cell = [1, 0, 0]}, "
        'left = {property = "gear", values = {low = 3}}, right = {stored = "Gear"}}'
    )
    assert type_of(shaft(ends=ends)).ends == (
        End(0, ONE),
        End(1, Stored(("Gear",)), (0, -1, 8)),
        End(2, Constant(Fraction(-5, 2)), (1, 0, 0)),
        End(4, Stored(("Gear",))),
        End(5, ByProperty("gear", (("low", Fraction(3)),))),
    )


def test_a_rim_may_be_on_another_cell() -> None:
    rim = type_of(shaft(rim='{kind = "far", teeth = 24, cell = [0, 1, -2]}')).rim
    assert rim is not None
    assert rim.cell == (0, 1, -2)


@pytest.mark.parametrize(
    ("written", "ratio"),
    [
        ("1", Fraction(1)),
        ("-0.1", Fraction(-1, 10)),
        ("[2, 3]", Fraction(2, 3)),
        ("[-1.5, 3]", Fraction(-1, 2)),
        ("[1, -7]", Fraction(-1, 7)),
    ],
)
def test_a_stated_ratio_is_exact(written: str, ratio: Fraction) -> None:
    meets = f'[{{at = [0, 2, -1], types = ["quayworks:pin", "quayworks:cog"], ratio = {written}}}]'
    body = shaft(meets=meets) + _also("pin") + _also("cog")
    found = next(
        one
        for one in load_catalogue_text(HEAD + body, FILE).types
        if one.block == "quayworks:shaft"
    )
    assert found.meets == (Meeting((0, 2, -1), ("quayworks:pin", "quayworks:cog"), ratio, None),)


def test_a_toothed_offset_may_have_a_contact_cell() -> None:
    meets = (
        '[{toothed = true, at = [0, 2, 0], types = ["quayworks:shaft"]}, '
        '{toothed = true, at = [1, 2, 0], types = ["quayworks:shaft"], contact = [0, 2, 0]}]'
    )
    body = shaft(meets=meets, rim='{kind = "far", teeth = 24}')
    assert type_of(body).meets == (
        Meeting((0, 2, 0), ("quayworks:shaft",), None, None),
        Meeting((1, 2, 0), ("quayworks:shaft",), None, (0, 2, 0)),
    )


def test_a_link_is_open_of_diameter_one_and_without_a_partner_unless_it_says_so() -> None:
    assert type_of(shaft(link="{}")).link == Link(False, ONE, None)
    link = '{crossed = true, diameter = {stored = "Width", scale = 0.5}}'
    assert type_of(shaft(link=link)).link == Link(True, Stored(("Width",), Fraction(1, 2)), None)


def test_a_partner_is_named_listed_or_packed_and_knows_the_paths_it_needs() -> None:
    cases = {
        '{stored = "To", form = "named"}': (
            Partner("named", ("To",)),
            (("To", "x"), ("To", "y"), ("To", "z")),
        ),
        '{stored = ["Belt", 0], form = "named", names = ["X", "Y", "Z"], relative = true}': (
            Partner("named", ("Belt", 0), ("X", "Y", "Z"), True),
            (("Belt", 0, "X"), ("Belt", 0, "Y"), ("Belt", 0, "Z")),
        ),
        '{stored = [], form = "named"}': (Partner("named", ()), (("x",), ("y",), ("z",))),
        '{stored = "To", form = "list", relative = false}': (
            Partner("list", ("To",)),
            (("To", 0), ("To", 1), ("To", 2)),
        ),
        '{stored = ["Belt", "To"], form = "packed"}': (
            Partner("packed", ("Belt", "To")),
            (("Belt", "To"),),
        ),
    }
    for written, (partner, paths) in cases.items():
        link = type_of(shaft(link=f"{{partner = {written}}}")).link
        assert link is not None
        assert link.partner == partner
        assert partner.paths == paths


def test_a_clutch_lists_the_ports_it_opens_and_a_reverser_the_one_it_flips() -> None:
    body = shaft(
        rim='{kind = "near", teeth = 12}',
        link="{}",
        switch='{kind = "clutch", opens = ["link", "back", "rim"], on = {stored = "On"}}',
    )
    assert type_of(body).switch == Switch(
        "clutch", (Port.BACK, Port.RIM, Port.LINK), Stored(("On",))
    )
    switch = '{kind = "reverser", flips = "front", on = {property = "lever", values = {up = 1}}}'
    assert type_of(shaft(switch=switch)).switch == Switch(
        "reverser", (Port.FRONT,), ByProperty("lever", (("up", Fraction(1)),))
    )


def test_a_governor_has_its_own_sense_or_follows() -> None:
    governor = '{port = "back", set_rpm = -4, sense = "own"}'
    assert type_of(shaft(governor=governor)).governor == Governor(
        Port.BACK, Constant(Fraction(-4)), False
    )
    governor = '{port = "link", set_rpm = {stored = "Screw"}, sense = "follow"}'
    assert type_of(shaft(governor=governor, link="{}")).governor == Governor(
        Port.LINK, Stored(("Screw",)), True
    )


def test_a_recorded_speed_says_where_it_is_and_what_it_is_about() -> None:
    recorded = '{stored = ["Drive", "Speed"], scale = -0.5, about = "front"}'
    assert type_of(shaft(recorded_rpm=recorded)).recorded == Recorded(
        Stored(("Drive", "Speed"), Fraction(-1, 2)), "front"
    )
    assert type_of(shaft(recorded_rpm='{stored = "Speed", about = "axis"}')).recorded == Recorded(
        Stored(("Speed",)), "axis"
    )


def test_a_machine_may_have_a_least_speed() -> None:
    body = shaft(role='"machine"', torque="1", least_rpm="2.5")
    assert type_of(body).least_rpm == Constant(Fraction(5, 2))


def test_the_example_of_the_format_with_every_key_is_accepted() -> None:
    body = shaft(
        only='{half = ["lower"]}',
        rim='{kind = "near", teeth = 12, cell = [0, 1, 0]}',
        link='{partner = {stored = "Partner", form = "packed"}}',
        switch='{kind = "clutch", opens = ["front", "rim", "link"], on = 0}',
        recorded_rpm='{stored = "Speed", scale = 1, about = "front"}',
        meets='[{at = [0, 0, 1], types = ["quayworks:shaft"], ratio = 1}]',
    )
    assert type_of(body).switch is not None


def _also(name: str) -> str:
    return shaft(entity="false", ends="").replace(":shaft", f":{name}")
