"""What several movers give to one drive is the sum of what each gives."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.outside.budget import Drive, books
from tests.outside.hall import hall
from tests.outside.hall_audit import audited
from tests.outside.trains import Machine, Mesh, Motor
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Several movers' power"
HP = 33_000
#: Tenths of an ounce-inch times rpm in a horsepower, from lb.ft times rpm: 5252.113.
TO_HP = Fraction("5252.113") * 12 * 16 * 10
TANDEM = Check(
    SUBJECT,
    "PS1",
    "motors of 10 and 5 hp on one shaft",
    "15 hp: (T1 + T2) N / 5252",
    Source(
        Evidence.PUBLISHED,
        "Industrial Monitor Direct, Running two motors on one VFD",
        "industrialmonitordirect.com/blogs/knowledgebase/running-two-motors-on-one-vfd-sizing-"
        "torque-and-load-sharing",
    ),
    why="exact numbers on both sides; the speed, 300 rpm, is ours; the source warns that real "
    "motors share a load unevenly, which the tool does not model",
)
TWICE = Check(
    SUBJECT,
    "PS2",
    "two motors of equal speed and power coupled to each other",
    "twice the power of one",
    Source(
        Evidence.PUBLISHED,
        "How Everything Works, question 908",
        "howeverythingworks.org/page1.php?QNum=908",
    ),
    why="exact numbers on both sides; the numbers are ours",
)
TWINS = Check(
    SUBJECT,
    "PS3",
    "two boat motors, clockwise, each geared 1 to 1 to one propeller shaft of 460.8 oz.in at "
    "32 000 rpm",
    "torque and power doubled, 14.6 hp; the shaft runs counter-clockwise",
    Source(
        Evidence.PUBLISHED,
        "International Waters, caption of a twin motor drive",
        "intlwaters.com/media/deep-groove-ball-bearing-050-jpg.4248",
    ),
    "0.05 hp",
    "the source rounds the power; balance and sense are exact",
)


@checked(TANDEM)
@pytest.mark.parametrize("gives", [("1100", "550"), ("550", "1100")])
@pytest.mark.parametrize(("takes", "state"), [("1650", "turning"), ("1650.000001", "overloaded")])
def test_two_motors_on_one_shaft_give_the_sum(
    gives: tuple[str, str], takes: str, state: str
) -> None:
    found = books(Drive([("300", torque) for torque in gives], [takes]))
    assert found.capacity == 15 * HP
    assert found.state == state


@checked(TANDEM)
def test_one_of_the_two_motors_alone_is_overloaded() -> None:
    found = books(Drive([("300", "1100"), ("300", "0")], ["1650"]))
    assert found.overload == (15 * HP, 10 * HP)


@checked(TWICE)
@pytest.mark.parametrize("number", [1, 2, 3, 5])
def test_equal_motors_give_as_many_times_the_power_of_one(number: int) -> None:
    drive = Drive([("1725", "2.5")] * number, ["2.5"] * 2)
    found = books(drive)
    assert found.capacity == number * Fraction("2.5") * 1725
    assert found.state == ("turning" if number >= 2 else "overloaded")
    assert found.headroom == (number - 2) * Fraction("2.5") * 1725


@checked(TWINS)
@pytest.mark.parametrize("axis", ["x", "y", "z"])
def test_two_motors_geared_to_one_shaft_double_torque_and_power(axis: str) -> None:
    """Clockwise for someone who looks along the axis is positive; torques in tenths of oz.in."""
    one = Motor("one", 32_000, 2304)
    other = Motor("other", 32_000, 2304)
    propeller = Machine("propeller", 4608)
    gears = [Mesh("one", "propeller", (20, 20)), Mesh("propeller", "other", (20, 20))]
    built = hall(one, other, propeller, *gears, axis=axis)
    seen = audited(built)
    (network,) = seen.networks
    assert seen.turns(built) == {"one": 32_000, "propeller": -32_000, "other": 32_000}
    assert (network.state, network.headroom) == ("turning", 0)
    assert network.capacity is not None
    assert abs(network.capacity / TO_HP - Fraction("14.6")) <= Fraction("0.05")


@checked(TWINS)
def test_one_of_the_two_geared_motors_gives_half() -> None:
    gears = [Mesh("one", "propeller", (20, 20)), Mesh("propeller", "other", (20, 20))]
    seen = audited(hall(Motor("one", 32_000, 2304), Machine("propeller", 4608), *gears))
    (network,) = seen.networks
    assert network.state == "overloaded"
    assert network.demand == 2 * (network.capacity or 0)
    assert "overload" in seen.rules
