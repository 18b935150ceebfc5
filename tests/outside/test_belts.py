"""One belt over two pulleys: published speeds, diameters and senses.

Each is solved as two shafts with a ratio between them, and built as blocks along every axis with
the place of the partner kept on either pulley; each time driven from either shaft.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import product

import pytest
from _pytest.mark import ParameterSet

from tests.outside.hall import hall
from tests.outside.hall_audit import audited
from tests.outside.trains import Belt, Motor, Number, solved
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Belts"
PUBLISHED = Evidence.PUBLISHED
HAWKINS = Source(
    PUBLISHED,
    "Hawkins Electrical Guide, vol. 8, near figs. 2804 and 2805",
    "bitlit.ru/page/en/n-hawkins/hawkins-electrical-guide-v-08-.../120",
)
MILTON = Source(
    PUBLISHED,
    "Milton & Wohlers, A Course in Wood Turning, 1919 (title from memory)",
    "aroundthewoods.com/book1/page003.html",
)
ROSE = Source(
    PUBLISHED,
    "J. Rose, Modern Machine-Shop Practice",
    "bitlit.ru/page/en/joshua-rose/modern-machine-shop-practice-volumes-i-and-ii/1323",
)
EWEN = Source(
    PUBLISHED,
    "Applied Physics, sec. 9.7, p. 261, ex. 1, 4, 6 and 7",
    "questionai.com/amp/textbooksolution-120742/6333-...",
)
POCKET = Source(
    PUBLISHED,
    "Mechanical Engineer's Pocket Book, p. 374",
    "scribd.com/document/462268002",
)
MECHANICS = Source(
    PUBLISHED,
    "A Textbook of Engineering Mechanics, ex. 33.1 (its sum; its line of given values has the "
    "two pulleys the wrong way round)",
    "issuhub.com/view/index/5946?pageIndex=685",
)
EXERCISES = Source(
    Evidence.COMPUTED,
    "inputs: exercises on circular motion, no. 2; the answer was not in the excerpt",
    "fisicaexe.com.br, execircmot_hs2",
)


@dataclass(frozen=True)
class Drive:
    """Diameters of the pulley that drives and the driven one, and the speeds of their shafts."""

    diameters: tuple[Number, Number]
    rpm: tuple[Number, Number]
    crossed: bool = False

    def belt(self, *, kept_by_driven: bool = False, step: tuple[int, int] = (1, 0)) -> Belt:
        """The belt; the pulley that it names first is the one that keeps its partner's place."""
        if kept_by_driven:
            return Belt("driven", "driver", self.diameters[::-1], self.crossed, step)
        return Belt("driver", "driven", self.diameters, self.crossed, step)

    def motors(self) -> tuple[Motor, Motor]:
        """A motor on either shaft that would turn it at the speed given."""
        return Motor("driver", self.rpm[0]), Motor("driven", self.rpm[1])

    @property
    def turns(self) -> dict[str, Number]:
        return {"driver": self.rpm[0], "driven": self.rpm[1]}


def row(key: str, what: str, expected: str, source: Source, *drives: Drive) -> list[ParameterSet]:
    """One check; a case for each of its belts."""
    mark = checked(Check(SUBJECT, key, what, expected, source))
    return [pytest.param(drive, marks=mark, id=f"{key}-{drive.rpm[1]}") for drive in drives]


BELTS = [
    *row(
        "B1",
        "wheel of 48 in at 300 rpm on 12 in",
        "1200 rpm",
        HAWKINS,
        Drive((48, 12), (300, 1200)),
    ),
    *row("B3", "4 in at 1500 rpm on 20 in", "300 rpm", MILTON, Drive((4, 20), (1500, 300))),
    *row("B4", "8 in at 300 rpm on 4 in", "600 rpm", MILTON, Drive((8, 4), (300, 600))),
    *row(
        "B5",
        "cone pulley: its step of 11 in at 600 rpm on 3 in",
        "2200 rpm",
        MILTON,
        Drive((11, 3), (600, 2200)),
    ),
    *row(
        "B7",
        "at 150 rpm 24 on 6, 36 on 9, 48 on 12; at 200 rpm 10 on 40",
        "600 rpm each; 50 rpm",
        ROSE,
        Drive((24, 6), (150, 600)),
        Drive((36, 9), (150, 600)),
        Drive((48, 12), (150, 600)),
        Drive((10, 40), (200, 50)),
    ),
    *row(
        "B10",
        "crossed belt, 600 mm at 500 rpm on 1200 mm",
        "250 rpm the other way",
        POCKET,
        Drive((600, 1200), (500, -250), crossed=True),
    ),
    *row(
        "B15",
        "18 in at 1500 rpm on 12 in; 6.5 in at 1650 on 26 in; 25 cm at 120 on 48 cm",
        "2250; 412.5; 62.5 rpm",
        EWEN,
        Drive((18, 12), (1500, 2250)),
        Drive((Fraction(13, 2), 26), (1650, Fraction(825, 2))),
        Drive((25, 48), (120, Fraction(125, 2))),
    ),
    *row(
        "B16",
        "9 in has to run at 1125 rpm off a shaft of 2250 rpm: driver",
        "4.5 in",
        EWEN,
        Drive((Fraction(9, 2), 9), (2250, 1125)),
    ),
]
NEARLY = Check(
    SUBJECT,
    "B2",
    "dynamo of 11 in at 1500 rpm, its engine's wheel 46 in",
    '359 rpm "nearly"',
    HAWKINS,
    "half of one rpm",
    "the source rounds to whole rpm; the tool gives 8250/23 = 358.7",
)
BACK = Check(
    SUBJECT,
    "B14",
    "300 mm at 240 rpm has to give 620 rpm: driven pulley",
    "116.1 mm",
    MECHANICS,
    "0.05 mm",
    "the source rounds to 0.1 mm; 620 rpm lies between what 116.05 and 116.15 mm give",
)
RIMS = Check(
    SUBJECT,
    "B13",
    "pulleys of 10 and 20 cm radius without slip, the first at 40 rpm",
    "equal rim speeds; 20 rpm",
    EXERCISES,
)


@pytest.mark.parametrize("drive", BELTS)
def test_a_belt_gives_the_published_speed_from_either_shaft(drive: Drive) -> None:
    for motor, kept_by_driven in product(drive.motors(), (False, True)):
        assert solved(drive.belt(kept_by_driven=kept_by_driven), motor) == drive.turns


@pytest.mark.parametrize("drive", BELTS)
def test_a_belt_between_blocks_gives_the_published_speed(drive: Drive) -> None:
    halls = [
        hall(
            motor,
            drive.belt(kept_by_driven=kept_by_driven, step=(-5, 7) if kept_by_driven else (6, -3)),
            axis=axis,
            origin=(20 * number, 64, -20 * number),
        )
        for number, (motor, kept_by_driven, axis) in enumerate(
            product(drive.motors(), (False, True), "xyz")
        )
    ]
    seen = audited(*halls)
    assert [seen.turns(each) for each in halls] == [drive.turns] * len(halls)
    assert {network.state for network in seen.networks} == {"turning"}
    assert (len(seen.networks), set(seen.rules)) == (len(halls), {"driving-nothing"})


@checked(NEARLY)
def test_an_engine_wheel_turns_nearly_as_fast_as_published() -> None:
    built = hall(Motor("dynamo", 1500), Belt("dynamo", "engine", (11, 46), step=(0, 9)))
    rpm = audited(built).turns(built)["engine"]
    assert rpm == Fraction(8250, 23)
    assert abs(rpm - 359) <= Fraction(1, 2)


@checked(BACK)
def test_the_published_pulley_is_the_one_that_gives_the_speed() -> None:
    def rpm(diameter: Fraction) -> Fraction:
        return solved(Motor("one", 240), Belt("one", "other", (300, diameter)))["other"] or 0

    printed = Fraction("116.1")
    half = Fraction("0.05")
    assert rpm(printed + half) < 620 < rpm(printed - half)


@checked(RIMS)
def test_without_slip_both_rims_run_equally_fast() -> None:
    built = hall(Motor("one", 40), Belt("one", "other", (20, 40)))
    turns = audited(built).turns(built)
    assert turns == {"one": 40, "other": 20}
    assert turns["one"] * 10 == turns["other"] * 20
