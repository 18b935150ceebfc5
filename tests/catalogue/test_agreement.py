"""Own offsets that contradict each other, by example and by trying every pose and place."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import product
from pathlib import Path
from typing import NamedTuple

import pytest

from analyzer.base.errors import CatalogueError
from analyzer.base.frame import POSES
from analyzer.base.mistake import Mistake
from analyzer.catalogue.load import load_catalogues
from tests.catalogue.texts import FILE, HEAD, mistakes_in
from tests.catalogue.wheels import AXIS, founds, stated, toothed, wheel


def test_two_listings_of_one_pair_may_say_the_same_from_both_sides() -> None:
    assert (
        founds(
            wheel("a", stated("0, 1, 0", "b", 2), pose=AXIS),
            wheel("b", stated("0, -1, 0", "a", "[1, 2]"), pose=AXIS),
        )
        == []
    )


def test_two_listings_with_different_ratios_are_one_mistake_in_the_later_one() -> None:
    body = wheel("a", stated("0, 1, 0", "b", 2), pose=AXIS) + wheel(
        "b", stated("0, -1, 0", "a", 2), pose=AXIS
    )
    assert mistakes_in(body) == (
        Mistake(
            FILE,
            22,
            'parts."q:b".meets[0]',
            'found the ratio 2 where parts."q:a".meets[0] gives the ratio 1/2 '
            "(the other 0 -1 0 away, axes x and x)",
            "listings that agree wherever both hold",
        ),
    )


def test_a_contradiction_between_two_files_names_the_other_file(tmp_path: Path) -> None:
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    one.write_text(HEAD + wheel("a", stated("0, 1, 0", "b", 2), pose=AXIS))
    two.write_text(HEAD + wheel("b", stated("0, -1, 0", "a", -0.5), pose=AXIS))
    with pytest.raises(CatalogueError) as caught:
        load_catalogues([str(one), str(two)])
    (mistake,) = caught.value.mistakes
    assert mistake.file == str(two)
    assert mistake.found == (
        f'found the ratio -1/2 where parts."q:a".meets[0] of {one} gives the ratio 1/2 '
        "(the other 0 -1 0 away, axes x and x)"
    )


def test_two_listings_of_one_type_for_one_place_are_compared() -> None:
    meets = stated("0, 1, 0", "b", 1) + "\n" + stated("0, 1, 0", "b", -1)
    assert founds(wheel("a", meets), wheel("b")) == [
        (
            'parts."q:a".meets[1]',
            'found the ratio -1 where parts."q:a".meets[0] gives the ratio 1 '
            "(the other 0 1 0 away, axes x and x)",
        )
    ]


def test_a_listing_can_contradict_itself_as_seen_from_the_other_part() -> None:
    # Two that face each other are each before the other: each would turn twice as fast.
    assert founds(wheel("a", stated("1, 0, 0", "a", 2))) == [
        (
            'parts."q:a".meets[0]',
            "found the ratio 2 where the same offset, listed by the other part, gives the ratio "
            "1/2 (the other 1 0 0 away, axes x and x)",
        )
    ]
    assert founds(wheel("a", stated("1, 0, 0", "a", 1))) == []
    # None that has only an axis looks the other way.
    assert founds(wheel("a", stated("1, 0, 0", "a", 2), pose=AXIS)) == []


def test_a_stated_ratio_and_constant_teeth_are_compared_by_their_magnitude() -> None:
    def both(ratio: str, teeth: str) -> list[tuple[str, str]]:
        return founds(
            wheel("a", toothed("0, 2, 0", "b"), teeth="36", pose=AXIS),
            wheel("b", stated("0, -2, 0", "a", ratio), teeth=teeth, pose=AXIS),
        )

    assert both("[-1, 3]", "12") == []
    assert [found for _, found in both("-3", "12")] == [
        'found the ratio -3 where parts."q:a".meets[0] gives the ratio -1/3 '
        "(the other 0 -2 0 away, axes x and x)"
    ]
    assert both("-3", '{stored = "Teeth"}') == []


def test_where_teeth_vary_only_the_signs_are_compared() -> None:
    assert founds(
        wheel("a", toothed("0, 2, 0", "b"), teeth='{stored = "Teeth"}', pose=AXIS),
        wheel("b", stated("0, -2, 0", "a", 3), pose=AXIS),
    ) == [
        (
            'parts."q:b".meets[0]',
            'found the same sense where parts."q:a".meets[0] gives opposite senses '
            "(the other 0 -2 0 away, axes x and x)",
        )
    ]


def test_teeth_that_meet_at_a_right_angle_must_touch_where_they_turn_alike() -> None:
    # With a about x and b about y, b is 1 east of a and 2 above it. Its front is up, its top south
    # and its right east: a is at -2 0 -1, and the cell above a, where they touch, at 0 0 -1.
    here = wheel("a", toothed("1, 2, 0", "b", "0, 2, 0"), pose=AXIS)
    assert founds(here, wheel("b", toothed("-2, 0, -1", "a", "0, 0, -1"), pose=AXIS)) == []
    # Touching on the far side of b, the two would turn the other way.
    assert founds(here, wheel("b", toothed("-2, 0, -1", "a", "0, 0, 1"), pose=AXIS)) == [
        (
            'parts."q:b".meets[0]',
            'found the ratio -1 where parts."q:a".meets[0] gives the ratio 1 '
            "(the other -1 -2 0 away, axes y and x)",
        )
    ]


#: Ways to give a pose, each with the fronts and tops that it allows.
FACES = {
    "east": (1, 0, 0),
    "west": (-1, 0, 0),
    "up": (0, 1, 0),
    "down": (0, -1, 0),
    "south": (0, 0, 1),
    "north": (0, 0, -1),
}
BY_FACING = {
    "east": "up",
    "west": "up",
    "south": "up",
    "north": "up",
    "up": "south",
    "down": "north",
}
POSE_RULES = {
    '{facing = "facing"}': list(BY_FACING.items()),
    '{axis = "axis"}': [("east", "up"), ("up", "south"), ("south", "up")],
    '{front = "up", top = "west"}': [("up", "west")],
    '{front = "west"}': [("west", "up")],
    '{cases = [{when = {a = "1"}, front = "north", top = "down"}, '
    '{when = {a = "2"}, front = "east", top = "south"}]}': [("north", "down"), ("east", "south")],
}

Vector = tuple[int, int, int]


def cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def minus(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


class Offset(NamedTuple):
    at: Vector
    ratio: Fraction | None
    contact: Vector | None


class Kind(NamedTuple):
    pose: str
    teeth: int
    meets: tuple[tuple[str, Offset], ...]


def turn(own: Vector, pose: tuple[str, str]) -> Vector:
    front, top = FACES[pose[0]], FACES[pose[1]]
    columns = (front, top, cross(front, top))
    x, y, z = (sum(own[k] * columns[k][row] for k in range(3)) for row in range(3))
    return (x, y, z)


def axis_vector(pose: tuple[str, str]) -> Vector:
    x, y, z = FACES[pose[0]]
    return (abs(x), abs(y), abs(z))


def speed_of_other(
    offset: Offset, here: Kind, pose: tuple[str, str], there: Kind, other: tuple[str, str]
) -> Fraction | None:
    """Return the other's speed per speed of this one by mechanics; None where nothing couples."""
    a, b = axis_vector(pose), axis_vector(other)
    if offset.ratio is not None:
        return offset.ratio if a == b else None
    magnitude = Fraction(here.teeth, there.teeth)
    if offset.contact is None:
        return -magnitude if a == b else None
    if a == b:
        return None
    at, contact = turn(offset.at, pose), turn(offset.contact, pose)
    # Points of the two wheels that touch move along one line: at what speeds is all the same here.
    one, two = cross(a, contact), cross(b, minus(contact, at))
    if not any(one) or not any(two) or any(cross(one, two)):
        return None
    (k,) = [k for k in range(3) if one[k]]
    return magnitude if (one[k] > 0) == (two[k] > 0) else -magnitude


def contradicts(kinds: dict[str, Kind]) -> bool:
    """Tell by trying all pairs of poses and places whether some pair of parts is coupled twice."""
    for (first, a), (second, b) in product(kinds.items(), repeat=2):
        for pose, other in product(POSE_RULES[a.pose], POSE_RULES[b.pose]):
            ratios: dict[Vector, set[Fraction]] = {}
            for name, offset in a.meets:
                ratio = speed_of_other(offset, a, pose, b, other) if name == second else None
                if ratio is not None:
                    ratios.setdefault(turn(offset.at, pose), set()).add(ratio)
            for name, offset in b.meets:
                ratio = speed_of_other(offset, b, other, a, pose) if name == first else None
                if ratio is not None:
                    x, y, z = turn(offset.at, other)
                    ratios.setdefault((-x, -y, -z), set()).add(1 / ratio)
            if any(len(found) > 1 for found in ratios.values()):
                return True
    return False


def random_kinds(rng: random.Random) -> dict[str, Kind]:
    names = ["a", "b", "c"][: rng.randint(1, 3)]
    kinds = {}
    for name in names:
        meets = []
        for _ in range(rng.randint(0, 2)):
            at = rng.choice([(0, 1, 0), (0, -1, 0), (0, 0, 1), (1, 0, 0), (1, 2, 0), (2, -1, 0)])
            ratio = rng.choice([None, None, Fraction(1), Fraction(-1), Fraction(2), Fraction(1, 2)])
            contact = None
            if ratio is None and rng.random() < 0.7:
                contact = rng.choice([(0, at[1], 0), (0, -at[1], 0), (at[0] + 1, at[1], 0)])
            meets.append((rng.choice(names), Offset(at, ratio, contact)))
        kinds[name] = Kind(rng.choice(list(POSE_RULES)), rng.choice([12, 24]), tuple(meets))
    return kinds


def written(kinds: dict[str, Kind]) -> str:
    body = ""
    for name, kind in kinds.items():
        meets = ""
        for met, offset in kind.meets:
            at = ", ".join(map(str, offset.at))
            if offset.ratio is not None:
                ratio = f"[{offset.ratio.numerator}, {offset.ratio.denominator}]"
                meets += stated(at, met, ratio)
            else:
                contact = "" if offset.contact is None else ", ".join(map(str, offset.contact))
                meets += toothed(at, met, contact)
        body += wheel(name, meets, pose=kind.pose, teeth=str(kind.teeth))
    return body


def test_contradictions_are_those_that_trying_all_poses_and_places_finds() -> None:
    rng = random.Random(4)
    seen = {True: 0, False: 0}
    for _ in range(2000):
        kinds = random_kinds(rng)
        found = [one.found for one in mistakes_in(written(kinds))]
        if any("couples in no pose" in one for one in found):
            continue
        assert bool(found) == contradicts(kinds), written(kinds)
        seen[bool(found)] += 1
    assert min(seen.values()) > 100


def test_the_fronts_and_tops_of_these_tests_are_poses_of_the_program() -> None:
    numbers = list(FACES)
    for poses in POSE_RULES.values():
        for front, top in poses:
            assert (numbers.index(front), numbers.index(top)) in POSES
