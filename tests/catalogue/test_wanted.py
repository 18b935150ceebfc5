from __future__ import annotations

from analyzer.catalogue.load import load_catalogue_text, load_catalogues
from analyzer.catalogue.wanted import wanted_blocks, wanted_paths
from tests.catalogue.texts import FILE, HEAD, SHAFT, WHEEL, shaft


def test_no_catalogue_wants_nothing() -> None:
    assert wanted_paths(load_catalogues([])) == {}
    assert wanted_blocks(load_catalogues([])) == frozenset()


def test_each_entity_is_wanted_with_the_stored_numbers_of_every_type_it_carries() -> None:
    text = WHEEL.replace('["quayworks:wheel"]', '["quayworks:drive", "quayworks:wheel"]').replace(
        "rated_rpm = 8", 'rated_rpm = {stored = ["Drive", 1]}'
    ).replace("torque = 32", 'torque = {stored = ["Drive", "Pull"]}') + shaft(
        entity='["quayworks:drive"]',
        ends='{front = {stored = "Gear"}, back = {stored = ["Drive", 1], scale = -1}}',
    )
    wanted = wanted_paths(load_catalogue_text(HEAD + text, FILE))
    assert list(wanted) == ["quayworks:drive", "quayworks:wheel"]
    assert wanted["quayworks:drive"] == (("Drive", "Pull"), ("Drive", 1), ("Gear",))
    assert wanted["quayworks:wheel"] == (("Drive", "Pull"), ("Drive", 1))


def test_blocks_of_types_without_an_entity_are_wanted_by_name() -> None:
    text = SHAFT + WHEEL.replace('["quayworks:wheel"]', "false")
    catalogues = load_catalogue_text(HEAD + text, FILE)
    assert wanted_blocks(catalogues) == {"quayworks:wheel"}
    assert wanted_paths(catalogues) == {"quayworks:shaft": ()}


def test_a_recorded_speed_and_a_partner_are_wanted_with_what_holds_the_partner() -> None:
    def wanted(partner: str) -> tuple[tuple[str | int, ...], ...]:
        body = shaft(
            link=f"{{partner = {partner}}}", recorded_rpm='{stored = "Speed", about = "axis"}'
        )
        return wanted_paths(load_catalogue_text(HEAD + body, FILE))["quayworks:shaft"]

    # Whether anything is there at all tells a part that is not linked from a position gone wrong.
    assert wanted('{stored = "To", form = "named", names = ["X", "Y", "Z"]}') == (
        ("Speed",),
        ("To",),
        ("To", "X"),
        ("To", "Y"),
        ("To", "Z"),
    )
    assert wanted('{stored = ["Belt", "To"], form = "list"}') == (
        ("Belt", "To"),
        ("Belt", "To", 0),
        ("Belt", "To", 1),
        ("Belt", "To", 2),
        ("Speed",),
    )
    assert wanted('{stored = "To", form = "packed"}') == (("Speed",), ("To",))
    assert wanted('{stored = [], form = "named"}') == (("Speed",), ("x",), ("y",), ("z",))
