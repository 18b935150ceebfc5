"""Spur gears of textbooks: single pairs, compound trains, idlers.

Speeds are signed: the sense in which the source says that the first gear turns is +. Every train
is solved as a mechanism of shafts, and built in a save and audited through the command line.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from tests.outside.hall import hall
from tests.outside.hall_audit import audited
from tests.outside.train_cases import (
    Train,
    case,
    computed,
    train,
)
from tests.outside.trains import Mesh, Motor, solved
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Gear trains"
PUBLISHED = Evidence.PUBLISHED
GATE_2014 = Source(
    PUBLISHED,
    "GATE Mechanical Engineering 2014, set 3, question 21, answer (A)",
    "electrical4u.net/gate-solved/gate-me-2014-3-question-paper-with-solutions/21",
)
RYAN_COMPOUND = Source(
    PUBLISHED, "V. Ryan, Compound gears", "technologystudent.com/gears1/gears8.htm"
)
RYAN_IDLERS = Source(PUBLISHED, "V. Ryan, Idler gears", "technologystudent.com/gears1/gears7.htm")
RYAN_PAIRS = Source(
    PUBLISHED, "V. Ryan, Gears: revolutions per minute", "technologystudent.com/gears1/gears6.htm"
)
APPLIED = Source(
    PUBLISHED,
    "Applied Physics, sec. 9.6 Gears, ex. 1 to 3 (authors Ewen, Schurter, Gundersen from memory)",
    "questionai.com/amp/textbooksolution-120742/6323-book-Applied-Physics-book-Gears",
)
REGINA = Source(
    PUBLISHED,
    "Math Central, University of Regina",
    "mathcentral.uregina.ca/QQ/database/QQ.09.02/matt2.html",
)
TUTORBIN = Source(
    Evidence.COMPUTED,
    "gear kinematics, 20 teeth at 1800 rpm: the teeth are published, the answer was not seen",
    "tutorbin.com",
)
BRITANNICA = Source(
    PUBLISHED,
    'Encyclopaedia Britannica, 11th ed., "Mechanics" (applied), as quoted in collections of '
    "sentences",
    "all-dictionary.com/sentences-with-the-word-gearing",
)
DYNAMIC = Source(
    PUBLISHED,
    "Dynamic Science, solutions: gears",
    "dynamicscience.com.au/tester/solutions1/hydraulicus/gears1.htm",
)
GATE_2013 = Source(
    Evidence.MEMORY,
    "GATE Mechanical Engineering 2013: question and offered answers published, which of them is "
    "right from memory",
    "questions.examside.com",
)
GATE_2023 = Source(
    PUBLISHED,
    "GATE Mechanical Engineering 2023",
    "edurev.in/t/181554/GATE-Past-Year-Questions-Gears-Gear-Trains",
)


def published(key: str, what: str, expected: str, source: Source) -> Check:
    return Check(SUBJECT, key, what, expected, source)


def pair(driver: int, driven: int, rpm: int, driven_rpm: int) -> Train:
    return train(Mesh("a", "b", (driver, driven)), a=rpm, b=driven_rpm)


OPPOSITE = "the other way"
A5 = published(
    "A5", "60 T at 120 rpm on 30 T; 25 T at 60 rpm on 75 T", "240 rpm; 20 rpm", RYAN_PAIRS
)
A7 = published(
    "A7",
    "36 T drives 24 T at 225 rpm: what is the driver's speed? 18 T at 72 rpm drives a gear at "
    "54 rpm: how many teeth has it?",
    "150 rpm; 24 T",
    APPLIED,
)
TRAINS = [
    case(
        train(Mesh("a", "bc", (20, 40)), Mesh("bc", "d", (15, 30)), a=1200, bc=-600, d=300),
        published(
            "A1",
            "20 T at 1200 rpm on 40 T; 15 T on the same shaft on 30 T",
            "300 rpm the same way",
            GATE_2014,
        ),
        computed(SUBJECT, "A1 between", "the shaft between", f"600 rpm {OPPOSITE}"),
    ),
    case(
        train(Mesh("a", "bc", (120, 40)), Mesh("bc", "d", (80, 20)), a=30, bc=-90, d=360),
        published(
            "A2",
            "120 T at 30 rpm on 40 T; 80 T on the same shaft on 20 T",
            f"the shaft between at 90 rpm {OPPOSITE}, the last gear the same way",
            RYAN_COMPOUND,
        ),
        computed(SUBJECT, "A2 last", "speed of the last gear", "360 rpm"),
    ),
    case(
        train(Mesh("a", "b", (20, 60)), Mesh("b", "c", (60, 10)), a=60, b=-20, c=120),
        published(
            "A3",
            "20 T, 60 T and 10 T in one line",
            f"the middle one turns {OPPOSITE}, the last the same way",
            RYAN_IDLERS,
        ),
        computed(SUBJECT, "A3 speeds", "speeds where the first runs at 60 rpm", "20 and 120 rpm"),
    ),
    case(
        train(Mesh("a", "b", (30, 90)), Mesh("b", "c", (90, 15)), a=90, b=-30, c=180),
        published("A4", "30 T, 90 T and 15 T in one line", "the last the same way", RYAN_IDLERS),
        computed(SUBJECT, "A4 speeds", "speeds where the first runs at 90 rpm", "30 and 180 rpm"),
    ),
    case(pair(60, 30, 120, -240), A5),
    case(pair(25, 75, 60, -20), A5),
    case(pair(16, 48, 156, -52), published("A6", "16 T at 156 rpm on 48 T", "52 rpm", APPLIED)),
    case(pair(36, 24, 150, -225), A7),
    case(pair(18, 24, 72, -54), A7),
    case(
        pair(12, 16, 40, -30),
        published("A8", "12 T turns 40 times against 16 T", "30 turns", REGINA),
    ),
    case(
        train(Mesh("a", "bc", (20, 80)), Mesh("bc", "d", (18, 90)), a=1800, bc=-450, d=90),
        Check(
            SUBJECT,
            "A15",
            "20 T at 1800 rpm on 80 T; 18 T on the same shaft on 90 T",
            f"450 rpm {OPPOSITE} between, 90 rpm the same way at the end",
            TUTORBIN,
        ),
    ),
]


def row_of(teeth: list[int], step: tuple[int, int] = (1, 0)) -> list[Mesh]:
    """Gears in one row, each on a shaft of its own that is named for its place."""
    numbered = [(str(n), size) for n, size in enumerate(teeth)]
    return [Mesh(a, b, (p, q), step) for (a, p), (b, q) in pairwise(numbered)]


@checked(
    published("A9", "18 T, any idlers, 18 T; 8 T, any idlers, 18 T", "1 to 1; 8/18 = 4/9", DYNAMIC)
)
@pytest.mark.parametrize("idlers", [[], [40], [7, 90], [11, 12, 13], [64, 5, 31, 8]])
@pytest.mark.parametrize(("first", "ratio"), [(18, Fraction(1)), (8, Fraction(4, 9))])
def test_only_the_first_and_the_last_gear_of_a_row_set_the_ratio(
    idlers: list[int], first: int, ratio: Fraction
) -> None:
    joints, last = row_of([first, *idlers, 18]), str(len(idlers) + 1)
    train = [*joints, Motor("0", 90)]
    row = hall(*train)
    for turns in (solved(*train), audited(row).turns(row)):
        assert abs(turns[last]) == 90 * ratio


@checked(
    published(
        "A10",
        "rows of 2 to 9 axes in outside gearing",
        "an odd number: the last turns as the first; an even number: the other way",
        BRITANNICA,
    )
)
@pytest.mark.parametrize("step", [(1, 0), (0, 1), (1, 1), (-1, 1)])
def test_the_last_of_an_odd_number_of_axes_turns_as_the_first(step: tuple[int, int]) -> None:
    rows = [row_of([20] * axes, step) for axes in range(2, 10)]
    halls = [hall(*row, Motor("0", 16), origin=(-3 + 30 * n, 64, -2)) for n, row in enumerate(rows)]
    seen = audited(*halls)
    for axes, row, each in zip(range(2, 10), rows, halls, strict=True):
        for turns in (solved(*row, Motor("0", 16)), seen.turns(each)):
            assert turns[str(axes - 1)] == (16 if axes % 2 else -16)


@checked(
    Check(
        SUBJECT,
        "A13",
        "P 20 T on Q 40 T; R 15 T on Q's shaft on S 20 T; Q is twice as wide as R, whose module is "
        "2 mm: how far from P's axis to S's?",
        "80 mm",
        GATE_2013,
        why="rim speeds are equal where gears touch, so radii follow from R's and the speeds found",
    )
)
def test_equal_rim_speeds_give_the_published_distance_of_centres() -> None:
    turns = solved(Mesh("p", "qr", (20, 40)), Mesh("qr", "s", (15, 20)), Motor("p", 120))
    radius_r = Fraction(2 * 15, 2)
    radius_q = 2 * radius_r
    radius_p = radius_q * abs(turns["qr"] / turns["p"])
    radius_s = radius_r * abs(turns["qr"] / turns["s"])
    assert radius_p + radius_q + radius_r + radius_s == 80


@checked(
    published(
        "A14",
        "two gears, 8 teeth per mm of diameter, centres 30 mm apart, ratio 1 to 4: teeth of the "
        "driver?",
        "96",
        GATE_2023,
    )
)
def test_one_pair_alone_fills_the_distance_at_the_ratio_asked_for() -> None:
    teeth_of_both = 2 * 30 * 8
    fitting = [
        driver
        for driver in range(90, 103)
        if solved(Mesh("a", "b", (driver, teeth_of_both - driver)), Motor("a", 100))["b"] == -25
    ]
    assert fitting == [96]
