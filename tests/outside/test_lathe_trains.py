"""Change gears between the spindle of a lathe and its lead screw: the threads that they cut."""

from __future__ import annotations

from fractions import Fraction

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

SUBJECT = "Lathe trains"
PUBLISHED = Evidence.PUBLISHED
ROSE = Source(
    PUBLISHED,
    "J. Rose, Modern Machine-Shop Practice, at figs. 1240 and 1241",
    "bitlit.ru/page/en/joshua-rose/modern-machine-shop-practice-volumes-i-and-ii/632",
)
JONES = Source(
    PUBLISHED,
    "F. D. Jones, Turning and Boring",
    "bitlit.ru/page/en/franklin-day-jones/turning-and-boring-.../93",
)
TRANSPOSING = Source(
    PUBLISHED, "change gears with a transposing pair", "c-n-c.cz/download/file.php?id=58970"
)
AMERICAN = Source(
    PUBLISHED,
    "American Mechanic, How to determine the proportion",
    "chestofbooks.com/crafts/mechanics/American-Mechanic/How-To-Determine-The-Proportion-...html",
)
#: Millimetres in an inch, exactly: definition of 1959.
INCH_MM = Fraction("25.4")


def published(key: str, what: str, expected: str, source: Source) -> Check:
    return Check(SUBJECT, key, what, expected, source)


A11 = published(
    "A11",
    "an intermediate wheel more in a screw-cutting train",
    "a left-hand thread of the same pitch",
    ROSE,
)
A12 = published(
    "A12",
    "pairs of 66 to 48 and 36 to 18, either first, lead screw of 4 threads an inch",
    "11 threads an inch; 1.375 and 2.75 turns of the spindle to one of the stud and of the screw",
    ROSE,
)
A12_SWAPPED = computed(SUBJECT, "A12 stud", "its stud where the other pair comes first", "a half")
A22 = published("A22", "90 T drives 127 T, lead screw of 6 threads an inch", "3 mm", JONES)
A23 = published("A23", "120 T drives 127 T, lead screw of 8 threads an inch", "3 mm", TRANSPOSING)
A24 = published(
    "A24", "40 T drives 100 T, lead screw of 2 threads an inch", "5 threads an inch", AMERICAN
)
ROSE_TRAIN = train(
    Mesh("spindle", "stud", (48, 66)),
    Mesh("stud", "screw", (18, 36)),
    spindle=11,
    stud=-11 / Fraction("1.375"),
    screw=11 / Fraction("2.75"),
)
SWAPPED = train(
    Mesh("spindle", "stud", (18, 36)),
    Mesh("stud", "screw", (48, 66)),
    spindle=11,
    stud=Fraction(-11, 2),
    screw=11 / Fraction("2.75"),
)
JONES_TRAIN = train(Mesh("spindle", "screw", (90, 127)), spindle=127, screw=-90)
TRANSPOSING_TRAIN = train(Mesh("spindle", "screw", (120, 127)), spindle=127, screw=-120)
AMERICAN_TRAIN = train(Mesh("spindle", "screw", (40, 100)), spindle=5, screw=-2)
TRAINS = [
    case(ROSE_TRAIN, A12),
    case(SWAPPED, A12, A12_SWAPPED),
    case(JONES_TRAIN, A22),
    case(TRANSPOSING_TRAIN, A23),
    case(AMERICAN_TRAIN, A24),
]
#: Trains with the threads an inch of the lead screw, and the pitch that they cut in inches.
CUTS = [
    pytest.param(ROSE_TRAIN, 4, Fraction(1, 11), marks=checked(A12), id="A12"),
    pytest.param(SWAPPED, 4, Fraction(1, 11), marks=checked(A12), id="A12 swapped"),
    pytest.param(JONES_TRAIN, 6, 3 / INCH_MM, marks=checked(A22), id="A22"),
    pytest.param(TRANSPOSING_TRAIN, 8, 3 / INCH_MM, marks=checked(A23), id="A23"),
    pytest.param(AMERICAN_TRAIN, 2, Fraction(1, 5), marks=checked(A24), id="A24"),
]


def pitch_in(joints: tuple[Mesh, ...], *, screw_threads: int) -> Fraction:
    """Pitch cut, in inches, as solver and command line agree on it; below 0 where left-handed."""
    lathe = (*joints, Motor("spindle", 48))
    built = hall(*lathe)
    turns = solved(*lathe)
    assert audited(built).turns(built) == turns
    return turns["screw"] / turns["spindle"] / screw_threads


@pytest.mark.parametrize(("train", "threads", "pitch"), CUTS)
def test_the_thread_cut_has_the_published_pitch(
    train: Train, threads: int, pitch: Fraction
) -> None:
    assert abs(pitch_in(train.joints, screw_threads=threads)) == pitch


@checked(A11)
@pytest.mark.parametrize("teeth", [20, 65, 127])
def test_an_intermediate_wheel_cuts_a_left_hand_thread_of_the_same_pitch(teeth: int) -> None:
    longer = (
        Mesh("spindle", "between", (48, teeth)),
        Mesh("between", "stud", (teeth, 66)),
        Mesh("stud", "screw", (18, 36)),
    )
    right = pitch_in(ROSE_TRAIN.joints, screw_threads=4)
    assert right == Fraction(1, 11)
    assert pitch_in(longer, screw_threads=4) == -right
