"""Which way belts turn what they drive: open and crossed, and against gears."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations, product

import pytest

from tests.outside.hall import block, hall
from tests.outside.hall_audit import audited
from tests.outside.trains import Belt, Mesh, Motor
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Belts"
SARTHAKS = Source(
    Evidence.PUBLISHED, "question 509742 on open and crossed belts", "sarthaks.com/509742"
)
LINEHAM = Source(
    Evidence.PUBLISHED,
    "W. J. Lineham, A Text-book of Mechanical Engineering",
    "archive.org/stream/ATextBookOfMechanicalEngineering/TXT/00000533.txt",
)
SENSES = Check(
    SUBJECT,
    "B11",
    "open and crossed belts of the same pulleys, 20 on 60 and 60 on 20",
    "same sense and opposite senses, the ratio D1/D2 of both",
    SARTHAKS,
    why="exact numbers on both sides; the source gives the rule, the sizes are ours",
)
LIKE_GEARS = Check(
    SUBJECT,
    "B12",
    "a crossed belt beside a pair of outside gears of the same sizes",
    "the same relative sense",
    LINEHAM,
    why="exact numbers on both sides; the source gives the rule, the sizes are ours",
)
PARALLEL = Check(
    SUBJECT,
    "BP1",
    "a belt between pulleys whose shafts are not parallel",
    "no open or crossed belt drive: both have parallel shafts",
    Source(
        Evidence.PUBLISHED,
        "Marine Pro Help, open and cross belt drive (definitions)",
        "marineprohelp.com/terms/16451/cross-belt-drive",
    ),
    why="nothing is measured; belts with a quarter turn exist, the tool does not model them",
    result="agrees: broken link",
)


@checked(SENSES)
@pytest.mark.parametrize("rpm", [60, -60])
def test_an_open_belt_keeps_the_sense_and_a_crossed_one_reverses_it(rpm: int) -> None:
    cases = [
        hall(
            Motor("one", rpm),
            Belt("one", "other", sizes, crossed=crossed, step=(4, 0)),
            axis=axis,
            origin=(20 * number, 64, 0),
        )
        for number, (sizes, crossed, axis) in enumerate(
            product(((20, 60), (60, 20)), (False, True), "xyz")
        )
    ]
    seen = audited(*cases)
    slow, fast = Fraction(rpm, 3), 3 * rpm
    assert [seen.turns(case)["other"] for case in cases] == [
        speed for speed in (slow, -slow, fast, -fast) for _ in "xyz"
    ]


@checked(LIKE_GEARS)
@pytest.mark.parametrize("sizes", [(20, 20), (15, 40), (40, 15)])
def test_a_crossed_belt_turns_as_a_pair_of_outside_gears(sizes: tuple[int, int]) -> None:
    belts = hall(Motor("one", 120), Belt("one", "other", sizes, crossed=True))
    gears = hall(Motor("one", 120), Mesh("one", "other", sizes), origin=(40, 64, 0))
    seen = audited(belts, gears)
    assert seen.turns(belts) == seen.turns(gears)
    assert seen.turns(belts)["other"] < 0


@checked(PARALLEL)
@pytest.mark.parametrize("kind", ["open_pulley", "crossed_pulley"])
@pytest.mark.parametrize(("one", "other"), list(permutations("xyz", 2)))
def test_no_belt_runs_between_shafts_that_are_not_parallel(kind: str, one: str, other: str) -> None:
    at = {"x": (-1, 64, 0), "y": (0, 63, 0), "z": (0, 64, -1)}
    seen = audited(
        blocks=[
            block(at[one], "motor", one, Rpm=60, Torque=1),
            block((0, 64, 0), kind, one, Diameter=1, Partner=[5, 6, 7]),
            block((5, 70, 7), kind, other, Diameter=1),
        ]
    )
    assert (seen.rpm[0, 64, 0], seen.rpm[5, 70, 7]) == (60, None)
    assert "broken-link" in seen.rules
