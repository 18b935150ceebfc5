"""Chains round neighbouring wheels, as a catalogue states their ratios."""

from __future__ import annotations

import pytest

from tests.outside.shop import Shop, drive, plain, shop
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Chains"
META = Check(
    SUBJECT,
    "CH1",
    "chain from a wheel of 60 teeth at 120 rpm to one of 30",
    "240 rpm",
    Source(
        Evidence.PUBLISHED,
        "The META Scholar, vol. 7, p. 48",
        "view.joomag.com/the-meta-scholar-volume-7/0919041001419454785?page=48",
    ),
)
CLARK = Check(
    SUBJECT,
    "CH2",
    "chain drives of models 1 and 2 of Clark's panel, speeds inverse to the teeth",
    "1 to 1 and 2 to 1",
    Source(
        Evidence.PUBLISHED,
        "V. Downward, W. M. Clark, 1930, panel 7: chain drives",
        "kmoddl.library.cornell.edu/model.php?m=440",
    ),
)
SENSE = Check(
    SUBJECT,
    "CH3",
    "the sense of a chain drive and of its motor",
    "both clockwise",
    Source(
        Evidence.PUBLISHED,
        "Yenka, Calculating speed reduction and increase, task 1",
        "yenka.com/activities/Calculating_Speed_Reduction_and_Increase_-_Activity/",
    ),
)
TYPES = """
[parts."quayworks:wheel_60"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
meets = [
  {at = [0, 0, 1], types = ["quayworks:wheel_30"], ratio = 2},
  {at = [0, 0, 1], types = ["quayworks:wheel_60"], ratio = 1},
]

[parts."quayworks:wheel_30"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
"""


def chained(first: str, second: str, rpm: int, driven: int) -> Shop:
    """Two wheels with a chain round them, one of which an engine turns, listed on the first."""
    return shop(
        [
            plain((1, 64, 0), f"{first}[axis=x]"),
            plain((1, 64, 1), f"{second}[axis=x]"),
            drive((0, 64, driven), "engine[facing=east,lit=true]", Rpm=rpm),
        ],
        TYPES,
    )


@checked(META, SENSE)
@pytest.mark.parametrize("sense", [1, -1])
def test_a_chain_doubles_the_speed_of_half_the_teeth(sense: int) -> None:
    assert chained("wheel_60", "wheel_30", 120 * sense, 0).rpm(1, 64, 1) == 240 * sense


@checked(META, SENSE)
def test_the_chain_drives_as_well_from_its_other_wheel() -> None:
    assert chained("wheel_60", "wheel_30", 240, 1).rpm(1, 64, 0) == 120


@checked(CLARK)
@pytest.mark.parametrize(("second", "rpm"), [("wheel_60", 90), ("wheel_30", 180)])
def test_speeds_of_a_chain_drive_are_inverse_to_the_teeth(second: str, rpm: int) -> None:
    assert chained("wheel_60", second, 90, 0).rpm(1, 64, 1) == rpm
