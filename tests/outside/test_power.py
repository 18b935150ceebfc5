"""Power on one line shaft: exactly full, one millionth too much, over-subscribed.

Torque is written as energy per turn, so that torque times rpm is power: joules a turn times turns a
minute are joules a minute (1 kW = 60 000), foot-pounds a turn foot-pounds a minute (1 hp = 33 000).
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.outside.budget import Books, Drive, in_blocks, on_paper
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Power of a line shaft"
KW = 60_000
HP = 33_000
LEAST = Decimal("0.000001")
FULL = "what is given and what is taken balance: full, not overloaded"
UNITS = "exact numbers on both sides; the source gives the powers"


LIMIT = Check(
    SUBJECT,
    "OV1",
    "a millionth of torque more, and less, than each of these full line shafts gives",
    "overloaded; not overloaded",
    Source(Evidence.COMMON, "overload is demand above capacity; the millionth is ours"),
)


def hibbeler(problem: str, address: str) -> Source:
    return Source(Evidence.PUBLISHED, f"R. C. Hibbeler, Mechanics of Materials, {problem}", address)


def full(key: str, what: str, source: Source, why: str = UNITS) -> Check:
    return Check(SUBJECT, key, what, FULL, source, why=why)


#: Speed in rpm, torque of the mover and of the machines, and the power in all.
FULL_SHAFTS = [
    pytest.param(
        Drive([("3000", "240")], ["60", "80", "100"]),
        12 * KW,
        marks=checked(
            full(
                "C1",
                "50 rev/s: the motor gives 12 kW, gears take 3, 4 and 5 kW",
                hibbeler("prob. 5-39", "th4.ilovetranslation.com/ODc0..."),
            )
        ),
        id="C1",
    ),
    pytest.param(
        Drive([("3000", "60")], ["20", "40"]),
        3 * KW,
        marks=checked(
            full(
                "C2",
                "50 rev/s: the motor gives 3 kW, gears take 1 and 2 kW",
                hibbeler("prob. 5-31", "th4.ilovetranslation.com/ODc0..."),
            )
        ),
        id="C2",
    ),
    pytest.param(
        Drive([("1500", "66000")], ["22000", "44000"]),
        3000 * HP,
        marks=checked(
            full(
                "C3",
                "1500 rpm: 3000 hp given, 1000 and 2000 hp taken off",
                Source(
                    Evidence.PUBLISHED,
                    "problem 3.35 on a stepped shaft (its powers; the stresses asked for are not "
                    "the tool's)",
                    "subjectmate.com/discussion/view/3-35-...",
                ),
            )
        ),
        id="C3",
    ),
    pytest.param(
        Drive([("300", "1600")], ["1000", "600"]),
        8 * KW,
        marks=checked(
            full(
                "C4",
                "300 rpm: the motor gives 8 kW, gears take 5 and 3 kW",
                Source(
                    Evidence.PUBLISHED,
                    "problem on a motor and two gears",
                    "solutionspile.com, pa602",
                ),
            )
        ),
        id="C4",
    ),
    pytest.param(
        Drive([("100", "33000")], ["3300", "4950", "4950", "4950", "14850"]),
        100 * HP,
        marks=checked(
            full(
                "C11",
                "100 hp generated: engine 10, line shafting 15, belts and pulleys 15, idle "
                "machinery 15, useful 45 hp",
                Source(
                    Evidence.PUBLISHED,
                    "Dooley, Applied Science for Metal Workers, sec. 322",
                    "chestofbooks.com/crafts/metal/Applied-Science-Metal-Workers/322-...html",
                ),
                f"{UNITS}, the speed is ours",
            )
        ),
        id="C11",
    ),
]
GROUP = Check(
    SUBJECT,
    "C13",
    "ten machines of 10 hp each on a line shaft with a motor of 40 hp",
    "100 hp connected, 0.4 of it given",
    Source(
        Evidence.PUBLISHED,
        "E. E. Kimberly, Electrical Engineering, ch. 25",
        "vias.org/kimberlyee/ee_25_08.html",
    ),
    why="exact numbers on both sides; in the source not all machines peak at once, the tool sums "
    "what all of them ask for; the speed, 300 rpm, is ours",
    result="agrees; overloaded",
)
FOUR_FIT = Check(
    SUBJECT,
    "C13b",
    "of these machines, how many the motor turns",
    "four exactly; the fifth stops all",
    Source(Evidence.COMPUTED, "40 / 10, from the numbers of C13"),
)


def more(drive: Drive, number: int, torque: Decimal) -> Drive:
    """The drive with so much more torque asked for by one of its machines."""
    takes = list(drive.takes)
    takes[number] = str(Decimal(takes[number]) + torque)
    return Drive(drive.gives, takes)


def least_power(drive: Drive) -> Fraction:
    """A millionth of torque at the speed of the shaft."""
    return Fraction(LEAST) * Fraction(drive.gives[0][0])


def books_of(drive: Drive, capacity: int, demand: Fraction | int) -> Books:
    """What the books have to say: overloaded where more is asked for than given."""
    over = demand > capacity
    return Books(
        state="overloaded" if over else "turning",
        capacity=Fraction(capacity),
        demand=Fraction(demand),
        headroom=Fraction(capacity - demand),
        overload=(Fraction(demand), Fraction(capacity)) if over else None,
        rpm=(Fraction(drive.gives[0][0]),),
    )


@checked(LIMIT)
@pytest.mark.parametrize(("drive", "power"), FULL_SHAFTS)
def test_a_full_line_shaft_turns_and_a_millionth_more_stops_it(drive: Drive, power: int) -> None:
    least = least_power(drive)
    assert on_paper(drive) == books_of(drive, power, power)
    for number in range(len(drive.takes)):
        assert on_paper(more(drive, number, LEAST)) == books_of(drive, power, power + least)
        assert on_paper(more(drive, number, -LEAST)) == books_of(drive, power, power - least)


@checked(LIMIT)
@pytest.mark.parametrize(("drive", "power"), FULL_SHAFTS)
def test_the_command_line_tells_full_from_overloaded(drive: Drive, power: int) -> None:
    assert in_blocks(drive) == (books_of(drive, power, power), 0)
    over = books_of(drive, power, power + least_power(drive))
    assert over.state == "overloaded"
    assert in_blocks(more(drive, -1, LEAST)) == (over, 1)


@checked(LIMIT)
@pytest.mark.parametrize("torque", ["0.000001", "1e-30"])
@pytest.mark.parametrize(("drive", "power"), FULL_SHAFTS)
def test_one_machine_more_overloads_a_full_line_shaft_however_little_it_asks_for(
    drive: Drive, power: int, torque: str
) -> None:
    one_more = Drive(drive.gives, [*drive.takes, torque])
    over = books_of(drive, power, power + Fraction(torque) * Fraction(drive.gives[0][0]))
    assert over.state == "overloaded"
    assert on_paper(one_more) == over
    assert in_blocks(one_more) == (over, 1)


@pytest.mark.parametrize(("drive", "power"), FULL_SHAFTS)
def test_a_machine_that_asks_for_nothing_fits_on_a_full_line_shaft(
    drive: Drive, power: int
) -> None:
    idler = Drive(drive.gives, [*drive.takes, "0"])
    assert in_blocks(idler) == (books_of(drive, power, power), 0)


def group(machines: int) -> Drive:
    return Drive([("300", "4400")], ["1100"] * machines)


@checked(GROUP)
def test_a_group_drive_of_ten_machines_is_over_subscribed() -> None:
    books, status = in_blocks(group(10))
    assert (books, status) == (books_of(group(10), 40 * HP, 100 * HP), 1)
    assert books.state == "overloaded"
    assert books.capacity == Fraction("0.4") * books.demand


@checked(FOUR_FIT)
@pytest.mark.parametrize("machines", range(1, 11))
def test_four_machines_of_the_group_fit_and_the_fifth_stops_all(machines: int) -> None:
    books = on_paper(group(machines))
    assert books == books_of(group(machines), 40 * HP, machines * 10 * HP)
    assert books.state == ("turning" if machines <= 4 else "overloaded")
    assert in_blocks(group(machines)) == (books, 0 if machines <= 4 else 1)
