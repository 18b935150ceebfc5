"""The trains of the ancient calendar computer of Antikythera, as one network of shafts.

All pointers hang on the wheel of the year, so that one solution has to give every one of them. The
year's wheel is taken to turn once in the + sense.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.outside.hall import block, hall
from tests.outside.hall_audit import audited
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
from tests.outside.trains import Mesh, Motor, solved
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Astronomical trains"
FILE = "github.com/CharlesCNorton/antikythera-verified, antikythera.v, commit e8aaaf61"
NORTON = Source(
    Evidence.PUBLISHED,
    "C. C. Norton, antikythera-verified, after Freeth et al., Nature 444 (2006) 587-591, suppl.",
    FILE,
)
PRICE = Source(
    Evidence.MEMORY,
    "teeth and turns: C. C. Norton, antikythera-verified; which wheel meets which: Price 1974 and "
    "Freeth et al., Nature 444 (2006) 587-591, from memory",
    FILE,
)
GAMES = Source(Evidence.MEMORY, "57 and 60 teeth: Freeth et al., from memory")
COPIES = Source(
    Evidence.PUBLISHED,
    "copies of the article on the mechanism in an encyclopaedia (its original from memory)",
    "koksblandare.eu; eultras.eu",
)


def row(key: str, what: str, expected: str, source: Source = NORTON) -> Check:
    return Check(SUBJECT, key, what, expected, source)


#: A mean tropical year in days, as the source has it.
YEAR_DAYS = Fraction("365.25")
#: Pointers and what their shafts have to do while the year's wheel turns once, senses by the number
#: of meshes.
POINTERS = {
    "moon": -Fraction(254, 19),
    "metonic": -Fraction(5, 19),
    "callippic": -Fraction(1, 76),
    "saros": -Fraction(940, 4237),
    "exeligmos": -Fraction(235, 12711),
    "games": Fraction(1, 4),
}
MECHANISM = train(
    Mesh("year", "c", (64, 38), step=(0, -1)),
    Mesh("c", "d", (48, 24), step=(0, -1)),
    Mesh("d", "moon", (127, 32), step=(0, -1)),
    Mesh("year", "l", (64, 38), step=(0, 1)),
    Mesh("l", "m", (53, 96), step=(0, 1)),
    Mesh("m", "metonic", (15, 53)),
    Mesh("metonic", "games", (57, 60), step=(0, 1)),
    Mesh("metonic", "p", (15, 60)),
    Mesh("p", "callippic", (12, 60)),
    Mesh("m", "ring", (27, 223), step=(0, 1)),
    Mesh("ring", "f", (188, 53), step=(0, 1)),
    Mesh("f", "saros", (30, 54), step=(0, 1)),
    Mesh("saros", "h", (20, 60), step=(0, 1)),
    Mesh("h", "exeligmos", (15, 60), step=(0, 1)),
    **POINTERS,
    year=1,
    c=-Fraction(32, 19),
    d=Fraction(64, 19),
    l=-Fraction(32, 19),
    m=Fraction(53, 57),
    p=Fraction(5, 76),
    ring=-Fraction(477, 4237),
    f=Fraction(1692, 4237),
    h=Fraction(940, 12711),
)
MOON = row("A25", "Moon: 64/38, 48/24, 127/32", "254/19 turns a year", PRICE)
SAROS = row("A28", "Saros: 64/38, 53/96, 27/223, 188/53, 30/54", "940/4237 turns a year")
SENSES = row("A31", "senses of the pointers", "Games alone turns the other way", COPIES)
PERIODS = Check(
    SUBJECT,
    "A32",
    "a crank of 48 T crosses a wheel of 223 T on the year's shaft: days a turn of crank, Moon, "
    "Saros pointer",
    "about 78; 27.321; 1646.3",
    COPIES,
    "1; 0.001; 0.1 days",
    "one unit of the last digit printed, which the source seems to cut off and not to round",
)
NETWORK = [
    case(
        MECHANISM,
        MOON,
        row("A26", "Metonic: 64/38, 53/96, 15/53", "5/19 turns a year"),
        row("A27", "Callippic: as Metonic, then 15/60, 12/60", "1/76 turns a year"),
        SAROS,
        row("A29", "Exeligmos: as Saros, then 20/60, 15/60", "235/12711 turns a year"),
        row("A30", "Games: as Metonic, then 57/60", "1/4 turn a year", GAMES),
        computed(SUBJECT, "A25 to A30 between", "the eight shafts between", "turns by hand"),
    )
]


@pytest.mark.parametrize("train", NETWORK)
def test_one_solution_gives_every_pointer_whichever_shaft_drives(train: Train) -> None:
    assert_solved_from_either_end(train, others=list(POINTERS))


@pytest.mark.parametrize("train", NETWORK)
def test_one_network_of_blocks_gives_every_pointer_whichever_shaft_drives(train: Train) -> None:
    assert_built_from_either_end(train, [("x", None)], others=list(POINTERS))
    assert_built_from_either_end(train, [("y", None), ("z", None)])


@pytest.mark.parametrize("train", NETWORK)
def test_the_order_of_shafts_and_wheels_changes_nothing(train: Train) -> None:
    assert_order_changes_nothing(train)


@pytest.mark.parametrize("train", NETWORK)
def test_one_idler_reverses_the_pointers_behind_it_and_two_do_not(train: Train) -> None:
    assert_one_idler_reverses_and_two_do_not(train)


@checked(row("A25 synodic", "turns of the Moon less those of the year", "235/19 a year", NORTON))
def test_the_moon_less_the_sun_gives_the_months() -> None:
    turns = solved(*MECHANISM.joints, Motor("year", 1))
    assert abs(turns["moon"]) - abs(turns["year"]) == Fraction(235, 19)


@checked(SENSES)
def test_the_pointer_of_the_games_alone_turns_the_other_way() -> None:
    built = hall(*MECHANISM.joints, Motor("year", 19))
    for turns in (solved(*MECHANISM.joints, Motor("year", 19)), audited(built).turns(built)):
        assert {name for name in POINTERS if turns[name] > 0} == {"games"}


@checked(PERIODS)
@pytest.mark.parametrize(("along", "up"), [(-1, -1), (-1, 1), (1, -1), (1, 1)])
def test_the_crank_across_the_shaft_of_the_year_gives_the_published_days(
    along: int, up: int
) -> None:
    built = hall(*MECHANISM.joints)
    x, y, z = built.shafts["year"][0]
    wheel, crank = (x - 1, y, z), (x - 1 + along, y + up, z)
    seen = audited(
        built,
        blocks=[
            block(wheel, "far_gear_223", "x"),
            block(crank, "far_gear_48", "y"),
            block((x - 1 + along, y + 2 * up, z), "motor", "y", Rpm=223, Torque=1),
        ],
    )
    turns = seen.turns(built)
    assert turns == {name: 48 * along * up * turn for name, turn in MECHANISM.turns.items()}
    year_turns = abs(turns["year"])
    assert abs(YEAR_DAYS * year_turns / abs(seen.rpm[crank]) - 78) < 1
    assert abs(YEAR_DAYS * year_turns / abs(turns["moon"]) - Fraction("27.321")) < Fraction("0.001")
    assert abs(YEAR_DAYS * year_turns / abs(turns["saros"]) - Fraction("1646.3")) < Fraction("0.1")
