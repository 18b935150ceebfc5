"""Spur gears of textbooks: single pairs, compound trains, idlers.

Speeds are signed: the sense in which the source says that the first gear turns is +. Every train
is solved as a mechanism of shafts, and built in a save and audited through the command line.
"""

from __future__ import annotations

import pytest

from tests.outside.train_cases import (
    Train,
    assert_built_from_either_end,
    assert_one_idler_reverses_and_two_do_not,
    assert_order_changes_nothing,
    assert_solved_from_either_end,
    case,
    computed,
    train,
)
from tests.outside.trains import Mesh
from tests.support.check import Check, Evidence, Source

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


@pytest.mark.parametrize("train", TRAINS)
def test_the_solver_finds_every_shaft_from_the_first_and_from_the_last(train: Train) -> None:
    assert_solved_from_either_end(train)


@pytest.mark.parametrize("train", TRAINS)
def test_gears_in_a_save_turn_as_published_from_the_first_and_from_the_last(train: Train) -> None:
    assert_built_from_either_end(train)


@pytest.mark.parametrize("train", TRAINS)
def test_the_order_of_shafts_and_gears_changes_nothing(train: Train) -> None:
    assert_order_changes_nothing(train)


@pytest.mark.parametrize("train", TRAINS)
def test_one_idler_reverses_what_it_drives_and_two_change_nothing(train: Train) -> None:
    assert_one_idler_reverses_and_two_do_not(train)
