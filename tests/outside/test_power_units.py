"""Torque times speed is power: in published units and across a pair of gears."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.outside.budget import Drive, books
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Torque, speed and power"
LEAST = Decimal("0.000001")
#: Pound-feet times rpm in a horsepower: onlineconversion.vbulletin.net, thread 9426, and others.
TO_HP = Fraction("5252.113")
#: Watts in a newton-metre times rpm: 2 pi/60.
TO_WATTS = Fraction("0.1047197551")
CALCULATOR = Source(
    Evidence.PUBLISHED,
    "Super Global Calculator, Power transmission; lb.ft x rpm in a horsepower, 5252.113: "
    "onlineconversion.vbulletin.net, thread 9426",
    "superglobalcalculator.com/formulas/engineering/power-transmission",
)
WATTS = Check(
    SUBJECT,
    "C9",
    "50 N.m at 1500 rpm; 200 lb.ft at 3000 rpm",
    "7854 W; 114.2 hp",
    CALCULATOR,
    "half of the last digit printed",
    "the source rounds; the tool's torque times rpm is exact and gets the unit's constant here",
)
PAIR = Check(
    SUBJECT,
    "C5",
    "43.768 lb.ft at 1800 rpm into gears of 24 and 72 teeth",
    "15 hp",
    Source(
        Evidence.PUBLISHED,
        "MecMovies M6.18 (its comma read as a point)",
        "drbuc2jl8158i.cloudfront.net/.../m06_18_s030.html",
    ),
    "0.0002 hp",
    "the source finds the torque from 15 hp and rounds it to 0.0005 lb.ft",
)
BEHIND = Check(
    SUBJECT,
    "C5b",
    "the shaft behind these gears",
    "600 rpm, 131.304 lb.ft, the same power",
    Source(Evidence.COMPUTED, "from C5: a third of the speed, three times the torque"),
)
GEARED = Check(
    SUBJECT,
    "C6",
    "gears of 100 and 200 mm, 685 N.m on the large one",
    "342.5 N.m on the small one holds it, exactly",
    Source(
        Evidence.PUBLISHED,
        "MecMovies M6.13",
        "drbuc2jl8158i.cloudfront.net/.../m06_13_s044.html",
    ),
    why="exact numbers on both sides; the teeth are as many as the diameters have mm",
)
SENSE = Check(
    SUBJECT,
    "C7",
    "a gear of 24 teeth turned by -0.050724 rad, in mesh with one of 72",
    "+0.016908 rad",
    Source(
        Evidence.PUBLISHED,
        "MecMovies M6.18",
        "drbuc2jl8158i.cloudfront.net/.../m06_18_s062.html and s063",
    ),
    why="exact numbers on both sides; the angles are taken for speeds",
)


@checked(WATTS)
@pytest.mark.parametrize(
    ("rpm", "torque", "unit", "printed"),
    [("1500", "50", 1 / TO_WATTS, "7854"), ("3000", "200", TO_HP, "114.2")],
    ids=["7854 W", "114.2 hp"],
)
def test_torque_times_speed_is_the_published_power(
    rpm: str, torque: str, unit: Fraction, printed: str
) -> None:
    digits = len(printed.partition(".")[2])
    for sense in ("", "-"):
        found = books(Drive([(sense + rpm, torque)], [torque]))
        assert round(found.capacity / unit, digits) == Fraction(printed)
        assert found.demand == found.capacity


@checked(PAIR)
def test_the_published_torque_is_that_of_fifteen_horsepower() -> None:
    found = books(Drive([("1800", "43.768")], [], (24, 72), [], ["131.304"]))
    assert abs(found.capacity / TO_HP - 15) < Fraction("0.0002")
    assert found.demand == found.capacity


@checked(BEHIND)
@pytest.mark.parametrize("torque", ["131.304", "131.304001"])
def test_gears_change_speed_and_torque_and_keep_the_power(torque: str) -> None:
    found = books(Drive([("1800", "43.768")], [], (24, 72), [], [torque]))
    assert found.rpm == (1800, -600)
    assert found.capacity == Fraction("43.768") * 1800
    assert found.headroom == 600 * (Fraction("131.304") - Fraction(torque))
    assert found.state == ("turning" if torque == "131.304" else "overloaded")


@checked(BEHIND)
def test_power_given_and_taken_on_either_side_of_gears_is_one_sum() -> None:
    """Half of the power is given before the gears and half behind them; so it is taken."""
    drive = Drive(
        [("1800", "21.884")], ["21.884"], (24, 72), [("-600", "65.652")], ["21.884", "43.768"]
    )
    found = books(drive)
    assert found.capacity == Fraction("43.768") * 1800
    assert (found.state, found.headroom) == ("turning", 0)


@checked(GEARED)
@pytest.mark.parametrize(
    ("teeth", "given", "taken"), [((100, 200), "342.5", "685"), ((200, 100), "685", "342.5")]
)
def test_the_published_torques_of_two_gears_balance(
    teeth: tuple[int, int], given: str, taken: str
) -> None:
    for rpm in ("60", "-7", "0.3"):
        assert books(Drive([(rpm, given)], [], teeth, [], [taken])).headroom == 0
        over = books(Drive([(rpm, given)], [], teeth, [], [str(Decimal(taken) + LEAST)]))
        assert over.state == "overloaded"
        under = books(Drive([(rpm, given)], [], teeth, [], [str(Decimal(taken) - LEAST)]))
        assert (under.state, under.overload) == ("turning", None)


@checked(SENSE)
def test_a_gear_turns_its_partner_by_the_published_angle_the_other_way() -> None:
    angles = ("-0.050724", "0.016908")
    for driven, teeth in ((angles, (24, 72)), (angles[::-1], (72, 24))):
        found = books(Drive([(driven[0], "1")], [], teeth))
        assert found.rpm == tuple(map(Fraction, driven))
