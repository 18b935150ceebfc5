"""The judge on belts and on positions stored in every form."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from typing import Any

import pytest

from tests.judge.build import driving, here, keeping, shaft, solved, speed_at
from tests.judge.partners import HEIGHT_IN_THE_MIDDLE, HEIGHT_LAST, unpacked
from tests.judge.stored import Tagged
from tests.judge.views import View

INT = partial(Tagged, "int")
NAMED = {"stored": "Partner", "form": "named"}


def pulley(diameter: Any = 1, *, crossed: bool = False, partner: Any = NAMED) -> dict[str, Any]:
    link: dict[str, Any] = {"diameter": diameter, "crossed": crossed}
    if partner is not None:
        link["partner"] = partner
    return keeping(shaft(link=link))


def xyz(x: int, y: int, z: int, kind: str = "int") -> dict[str, Tagged]:
    return {"x": Tagged(kind, x), "y": Tagged(kind, y), "z": Tagged(kind, z)}


def belted(first: dict[str, Any], second: dict[str, Any], rated: Any) -> Any:
    """Return the speed of a pulley ten blocks away, to which the first one's belt leads."""
    entries = {"first": driving(first, rated), "second": second}
    verdicts = solved(
        entries,
        {
            (0, 0, 0): ("first", "up", {"Partner": xyz(6, 4, 8)}),
            (6, 4, 8): ("second", "down", {}),
        },
    )
    return speed_at(verdicts, 6, 4, 8)


@pytest.mark.parametrize(
    ("rated", "driver", "driven", "speed"),
    [
        # N. Hawkins, Electrical Guide, vol. 8: an engine at 300 rpm, belt wheel 48 inches, dynamo
        # pulley 12 inches.
        (300, 48, 12, 1200),
        # Mechanical Engineer's Pocket Book, 5.2.1: 500 rev/min, 600 mm; 250 rev/min at 1200 mm.
        (500, 600, 1200, 250),
        # Milton and Wohlers, 1919: motor at 1500 with 4 inches, main shaft at 300 with 20 inches.
        (1500, 4, 20, 300),
    ],
)
def test_a_belt_has_one_speed_as_published(
    rated: int, driver: int, driven: int, speed: int
) -> None:
    assert belted(pulley(driver), pulley(driven), rated) == speed
    # A crossed belt, i = -(R2/R1): dmg-lib.org, Crossed belt drive mechanism.
    assert belted(pulley(driver, crossed=True), pulley(driven), rated) == -speed


def test_belts_after_belts_multiply_as_published() -> None:
    # sarthaks.com/509850: engine 200 rpm, 80 cm to 40 cm; on that shaft 100 cm to 20 cm: 2000 rpm.
    entries = {
        "engine": driving(pulley(80), 200),
        "driven": pulley(40),
        "driver": pulley(100),
        "dynamo": pulley(20),
    }
    verdicts = solved(
        entries,
        {
            (0, 0, 0): ("engine", "east", {"Partner": xyz(0, 5, 0)}),
            (0, 5, 0): ("driven", "east", {}),
            (1, 5, 0): ("driver", "west", {}),
            (1, 0, 9): ("dynamo", "west", {"Partner": xyz(1, 5, 0)}),
        },
    )
    assert speed_at(verdicts, 1, 0, 9) == 2000


def test_both_sides_that_store_the_same_belt_are_one_coupling_and_other_belts_another() -> None:
    def network(first: dict[str, Any], second: dict[str, Any]) -> Any:
        build = {
            (0, 0, 0): ("first", "up", {"Partner": xyz(3, 0, 0)}),
            (3, 0, 0): ("second", "up", {"Partner": xyz(0, 0, 0)}),
        }
        (found,) = solved({"first": driving(first, 4), "second": second}, build)
        return found

    sound = network(pulley(2), pulley(3))
    assert len(sound.couplings) == 1
    assert sound.speeds[here(3, 0, 0)] == Fraction(8, 3)
    crossed_by_one = network(pulley(2), pulley(3, crossed=True))
    assert (crossed_by_one.conflict, crossed_by_one.loops) == ("loop", (2,))
    crossed_by_both = network(pulley(2, crossed=True), pulley(3, crossed=True))
    assert crossed_by_both.speeds[here(3, 0, 0)] == Fraction(-8, 3)


@pytest.mark.parametrize(
    ("partner", "reason"),
    [
        (xyz(0, 0, 0), "itself"),
        (xyz(9, 9, 9), "missing"),
        (xyz(1, 0, 0), "no-link"),
        (xyz(2, 0, 0), "not-parallel"),
        (xyz(4, 0, 0), None),
    ],
)
def test_a_link_that_leads_nowhere_is_broken(partner: Any, reason: str | None) -> None:
    entries = {"pulley": pulley(partner=NAMED), "shaft": shaft(ends={})}
    verdicts = solved(
        entries,
        {
            (0, 0, 0): ("pulley", "up", {"Partner": partner}),
            (1, 0, 0): ("shaft", "up"),
            (2, 0, 0): ("pulley", "east", {}),
            (4, 0, 0): ("pulley", "down", {}),
        },
    )
    broken = [pair for verdict in verdicts for pair in verdict.broken]
    assert broken == ([] if reason is None else [(here(0, 0, 0), reason)])
    assert len(verdicts) == (3 if reason is None else 4)


def test_a_diameter_that_cannot_be_used_couples_nothing_and_breaks_nothing() -> None:
    entries = {"pulley": pulley({"stored": "Size"})}
    sound, bad = {"Size": Tagged("int", 2)}, {"Size": Tagged("int", 0)}
    first, second = solved(
        entries,
        {
            (0, 0, 0): ("pulley", "up", {**sound, "Partner": xyz(5, 0, 0)}),
            (5, 0, 0): ("pulley", "up", bad),
        },
    )
    assert (first.broken, first.cut, second.cut) == (frozenset(), False, True)
    assert second.unusable == {here(5, 0, 0)}


#: The example of a packed position in wiki.vg, "Data types", and its bits.
EXAMPLE = (18357644, 831, -20882616)
X, Z, Y = "01000110000001110110001100", "10110000010101101101001000", "001100111111"


def test_a_packed_position_is_read_as_published() -> None:
    assert int(X + Z + Y, 2) == 5046110948485792575
    assert unpacked(int(X + Z + Y, 2), 1952) == EXAMPLE
    # The same before 1.14: x, y, z from the highest bits down (wiki.vg, revision 6530).
    assert unpacked(int(X + Y + Z, 2), 1951) == EXAMPLE


@pytest.mark.parametrize("version", [1631, 4790])
@pytest.mark.parametrize(
    "at", [(0, 0, 0), (-1, -1, -1), (2**25 - 1, 2047, -(2**25)), (-(2**25), -2048, 2**25 - 1)]
)
def test_every_field_of_a_packed_position_is_signed(version: int, at: tuple[int, int, int]) -> None:
    fields = HEIGHT_LAST if version >= 1952 else HEIGHT_IN_THE_MIDDLE
    own = dict(zip("xyz", at, strict=True))
    number = 0
    for name, width in fields:
        number = number << width | own[name] & (1 << width) - 1
    as_signed = number - 2**64 if number >= 2**63 else number
    assert unpacked(number, version) == unpacked(as_signed, version) == at


@pytest.mark.parametrize(
    ("rule", "data"),
    [
        (NAMED, {"Partner": xyz(-7, 3, 2, "short")}),
        (
            {**NAMED, "names": ["X", "Y", "Z"]},
            {"Partner": {"X": INT(-7), "Y": Tagged("long", 3), "Z": Tagged("byte", 2)}},
        ),
        (
            {"stored": [], "form": "named", "names": ["PX", "PY", "PZ"]},
            {"PX": INT(-7), "PY": INT(3), "PZ": INT(2)},
        ),
        (
            {"stored": ["Belt", "To"], "form": "list"},
            {"Belt": {"To": Tagged("int_array", (-7, 3, 2))}},
        ),
        (
            {"stored": "To", "form": "list", "relative": True},
            {"To": [INT(-7), INT(2), INT(2)]},
        ),
        (
            {"stored": "To", "form": "packed"},
            {"To": Tagged("long", (-7 << 38) + (2 << 12) + 3)},
        ),
        (
            {"stored": "To", "form": "packed", "relative": True},
            {"To": Tagged("long", (-7 << 38) + (2 << 12) + 2)},
        ),
    ],
)
def test_a_partner_is_stored_in_any_form(rule: dict[str, Any], data: dict[str, Any]) -> None:
    entries = {"pulley": driving(pulley(partner=rule), 5), "other": pulley()}
    verdicts = solved(entries, {(0, 1, 0): ("pulley", "up", data), (-7, 3, 2): ("other", "up", {})})
    assert speed_at(verdicts, -7, 3, 2) == 5


@pytest.mark.parametrize(
    ("form", "data", "usable"),
    [
        ("named", {}, True),
        ("named", {"To": {"x": Tagged("int", 1), "z": Tagged("int", 1)}}, False),
        ("named", {"To": {**xyz(1, 2, 3), "y": Tagged("double", 2.0)}}, False),
        ("named", {"To": {**xyz(1, 2, 3), "y": Tagged("string", "2")}}, False),
        ("named", {"To": xyz(1, 2, 10**9 + 1, "long")}, False),
        ("named", {"To": {}}, False),
        ("list", {"To": Tagged("int_array", (1, 2))}, False),
        ("list", {"To": Tagged("string", "1 2 3")}, False),
        ("packed", {"To": Tagged("int", 5)}, False),
        ("packed", {}, True),
    ],
)
def test_no_data_is_no_link_and_data_that_are_no_position_cannot_be_used(
    form: str, data: dict[str, Any], usable: bool
) -> None:
    entries = {"pulley": pulley(partner={"stored": "To", "form": form})}
    (network,) = solved(entries, {(0, 0, 0): ("pulley", "up", data)})
    assert (network.cut, network.broken) == (not usable, frozenset())


def test_a_link_into_a_chunk_not_looked_at_cuts_its_network_and_is_not_broken() -> None:
    entries = {"pulley": pulley()}
    view = View(frozenset({("quay", 0, 0), ("quay", -1, 0)}))
    build = {
        (0, 0, 0): ("pulley", "up", {"Partner": xyz(16, 0, 0)}),
        (16, 0, 0): ("pulley", "up", {}),
    }
    (network,) = solved(entries, build, view=view)
    assert (network.cut, network.broken) == (True, frozenset())
    build[0, 0, 0] = ("pulley", "up", {"Partner": xyz(-16, 0, 0)})
    (network,) = solved(entries, build, view=view)
    assert (network.cut, {reason for _, reason in network.broken}) == (False, {"missing"})
