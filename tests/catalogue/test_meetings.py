"""Own offsets beside the other types of a run: names, rims, poses in which they couple."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.load import load_catalogues
from tests.catalogue.texts import FILE, HEAD, SHAFT, mistakes_in
from tests.catalogue.wheels import AXIS, FACING, founds, stated, toothed, wheel


def test_a_name_without_an_entry_is_a_mistake_that_names_the_one_meant() -> None:
    body = wheel("wheel", stated("0, 1, 0", "wheal", 1))
    assert mistakes_in(body) == (
        Mistake(
            FILE,
            14,
            'parts."q:wheel".meets[0].types[0]',
            'no catalogue has an entry for "q:wheal"; did you mean "q:wheel"?',
            "a block that has an entry",
        ),
    )


def test_an_entry_in_another_catalogue_of_the_run_is_known(tmp_path: Path) -> None:
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    one.write_text(HEAD + wheel("a", stated("0, 1, 0", "b", 2)))
    two.write_text(HEAD + wheel("b", stated("0, -1, 0", "a", 0.5)))
    with pytest.raises(CatalogueError):
        load_catalogues([str(one)])
    assert len(load_catalogues([str(one), str(two)]).types) == 2


def test_a_name_that_may_stand_in_a_catalogue_that_could_not_be_read_is_no_mistake(
    tmp_path: Path,
) -> None:
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    one.write_text(HEAD + wheel("a", stated("0, 1, 0", "b", 2)))
    two.write_text("not toml")
    for missing in (two, tmp_path / "three.toml"):
        with pytest.raises(CatalogueError) as caught:
            load_catalogues([str(one), str(missing)])
        assert [mistake.file for mistake in caught.value.mistakes] == [str(missing)]


def test_teeth_need_a_rim_on_both_types() -> None:
    meets = toothed("0, 2, 0", "b")
    assert founds(wheel("a", meets), wheel("b")) == []
    (mistake,) = mistakes_in(wheel("a", meets, teeth="") + wheel("b"))
    assert (mistake.key, mistake.found, mistake.expected) == (
        'parts."q:a".meets[0].toothed',
        "found a toothed offset in a type without a rim",
        "a rim, or a stated ratio",
    )
    (mistake,) = mistakes_in(wheel("a", meets) + wheel("b", teeth=""))
    assert (mistake.key, mistake.found, mistake.expected) == (
        'parts."q:a".meets[0].types[0]',
        'found "q:b", which has no rim',
        "a type with a rim, or a stated ratio",
    )
    assert founds(wheel("a", stated("0, 2, 0", "b", 1), teeth=""), wheel("b", teeth="")) == []


NEVER = 'parts."q:a".meets[0]', "found an offset that couples in no pose of its types"
#: An own offset, the poses of the type that lists it and of the one it meets, and whether they
#: couple in any.
COUPLES = {
    "parallel axes": (toothed("0, 2, 0", "b"), AXIS, AXIS, True),
    "axes that never are parallel": (
        toothed("0, 2, 0", "b"),
        '{front = "up"}',
        '{front = "east"}',
        False,
    ),
    "axes that only sometimes are parallel": (
        toothed("0, 2, 0", "b"),
        '{front = "up"}',
        AXIS,
        True,
    ),
    "a stated ratio of axes that never are parallel": (
        stated("0, 2, 0", "b", 1),
        '{front = "up"}',
        '{front = "east"}',
        False,
    ),
    "a chain along one axis": (stated("2, 0, 0", "b", 1), AXIS, AXIS, True),
    "teeth of wheels on one axis": (toothed("2, 0, 0", "b"), AXIS, AXIS, False),
    "axes that meet": (toothed("1, 2, 0", "b", "0, 2, 0"), FACING, FACING, True),
    "axes that meet, the contact behind": (toothed("-1, -2, 0", "b", "0, -2, 0"), AXIS, AXIS, True),
    "skew axes": (toothed("1, 2, 1", "b", "0, 2, 0"), FACING, FACING, False),
    "axes that meet, the contact off their plane": (
        toothed("1, 2, 0", "b", "0, 2, 1"),
        FACING,
        FACING,
        False,
    ),
    "axes that meet, the contact on one of them": (
        toothed("1, 2, 0", "b", "1, 2, 0"),
        FACING,
        FACING,
        False,
    ),
    "axes that meet, the contact in this part": (
        toothed("1, 2, 0", "b", "0, 0, 0"),
        FACING,
        FACING,
        False,
    ),
    "axes that would meet if they could be crossed": (
        toothed("1, 2, 0", "b", "0, 2, 0"),
        '{front = "up"}',
        '{front = "down"}',
        False,
    ),
}


@pytest.mark.parametrize("case", COUPLES)
def test_an_offset_that_can_couple_in_no_pose_is_refused(case: str) -> None:
    meets, here, there, couples = COUPLES[case]
    assert founds(wheel("a", meets, pose=here), wheel("b", pose=there)) == (
        [] if couples else [NEVER]
    )


def test_an_offset_couples_if_it_does_with_one_of_its_types() -> None:
    meets = '{at = [0, 1, 0], types = ["q:b", "q:c"], ratio = 1}'
    up, east = '{front = "up"}', '{front = "east"}'
    assert founds(wheel("a", meets, pose=up), wheel("b", pose=east), wheel("c", pose=up)) == []
    assert founds(wheel("a", meets, pose=up), wheel("b", pose=east), wheel("c", pose=east)) == [
        NEVER
    ]


def test_an_offset_that_never_couples_says_what_its_axes_have_to_be() -> None:
    up, east = '{front = "up"}', '{front = "east"}'
    (mistake,) = mistakes_in(wheel("a", stated("0, 1, 0", "b", 1), pose=up) + wheel("b", pose=east))
    assert mistake.expected == "axes that can be parallel, one beside the other"
    skew = toothed("1, 2, 1", "b", "0, 2, 0")
    (mistake,) = mistakes_in(wheel("a", skew) + wheel("b"))
    assert mistake.expected == (
        "axes that can meet at a right angle, and a contact in their plane and on neither"
    )


def test_an_offset_in_which_something_else_is_wrong_is_not_compared() -> None:
    meets = stated("0, 1, 0", "b", 1) + "\n" + stated("0, 1, 9", "b", -1)
    assert [key for key, _ in founds(wheel("a", meets), wheel("b"))] == [
        'parts."q:a".meets[1].at[2]'
    ]


def test_types_whose_pose_is_wrong_are_left_alone_and_mistakes_elsewhere_change_nothing() -> None:
    contradiction = stated("0, 1, 0", "b", 1) + "\n" + stated("0, 1, 0", "b", -1)
    wrong = wheel("b", pose='{axis = "axis", facing = "facing"}')
    assert [key for key, _ in founds(wheel("a", contradiction), wrong)] == ['parts."q:b".pose']
    body = (
        wheel("a", contradiction) + "torque = 1\n" + wheel("b") + SHAFT.replace("entity", "entty")
    )
    assert [one.key for one in mistakes_in(body)] == [
        'parts."q:a".meets[1]',
        'parts."q:a".torque',
        'parts."quayworks:shaft".entty',
    ]
