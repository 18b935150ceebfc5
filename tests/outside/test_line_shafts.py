"""Chains of belts, from motor over line shaft and countershaft to spindle; cone pulleys."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise, permutations, product

import pytest

from analyzer.demo.content import Placement
from tests.outside.hall import At, block, hall
from tests.outside.hall_audit import audited
from tests.outside.shop import drive, shop
from tests.outside.trains import Belt, Motor, Number, solved
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Line shafts and cone pulleys"
MILTON = Source(
    Evidence.PUBLISHED,
    "Milton & Wohlers, A Course in Wood Turning, 1919 (title from memory); the same sum at "
    "woodworkings.ca, To Figure The Diameter Of Pulleys",
    "aroundthewoods.com/book1/page003.html",
)
CHAIN = Check(
    SUBJECT,
    "B6",
    "motor 1500 rpm, 4 in on 20 in, 8 in on 4 in, 11 in step of a cone pulley on 3 in: one drive "
    "of four shafts, driven from each of them",
    "1500, 300, 600 and 2200 rpm",
    MILTON,
)
ENGINE = Check(
    SUBJECT,
    "B8",
    "engine 200 rpm, 80 cm on 40 cm, line shaft 100 cm on 20 cm",
    "2000 rpm without slip",
    Source(Evidence.PUBLISHED, "question 509850 on belt drives", "sarthaks.com/509850"),
    why="exact numbers on both sides; the second part, 1901.25 rpm with 2.5 % slip at each belt, "
    "is outside a rigid drive: slip is not modelled",
)
COMPOUND = Check(
    SUBJECT,
    "B9",
    "compound flat belt, 600 rpm, 250 mm on 750 mm, 500 mm on 1000 mm",
    "100 rpm",
    Source(
        Evidence.COMPUTED,
        "formula and sizes: Mechanical Engineer's Pocket Book, p. 374; its answer is cut off",
        "scribd.com/document/462268002",
    ),
)
CONE = Check(
    SUBJECT,
    "CP1",
    "cone pulleys with steps of 125, 100, 75, 50 mm and 50, 75, 100, 125 mm",
    "ratios 2.5, 1.33, 0.75 and 0.4",
    Source(
        Evidence.PUBLISHED,
        "Firgelli Engineering Library, Modified Cone Pulleys",
        "firgelliauto.com/en-de/blogs/mechanisms/modified-cone-pulleys",
    ),
    "half of the last digit printed",
    "the source rounds 4/3 to 1.33; the others are exact",
)
SHIFT = Check(
    SUBJECT,
    "CP2",
    "the belt of two cone pulleys shifted from step to step",
    "the ratio changes with each pair of steps",
    Source(
        Evidence.PUBLISHED,
        "Encyclopaedia Britannica, 11th ed., vol. 17, Mechanics, sec. 60, Speed-Cones",
        "bitlit.ru/page/en/various/encyclopaedia-britannica-11th-edition-matter-to-mecklenburg-"
        "volume-17-slice-8/281",
    ),
)
TWO_BELTS = Check(
    SUBJECT,
    "CP3",
    "belts on two pairs of steps of these cone pulleys at once",
    "locked",
    Source(Evidence.COMMON, "two belts of different ratios cannot both run without slip"),
)
#: Diameters of the pulleys that drive and are driven, and the speeds of the shafts in turn.
CHAINS = [
    pytest.param([(4, 20), (8, 4), (11, 3)], [1500, 300, 600, 2200], marks=checked(CHAIN), id="B6"),
    pytest.param([(80, 40), (100, 20)], [200, 400, 2000], marks=checked(ENGINE), id="B8"),
    pytest.param([(250, 750), (500, 1000)], [600, 200, 100], marks=checked(COMPOUND), id="B9"),
]
STEPS = (125, 100, 75, 50)
PRINTED = ("2.5", "1.33", "0.75", "0.4")
#: A cone pulley one step of which a block is; its state says which.
CONE_PULLEY = """
[parts."quayworks:cone_step"]
role = "transmission"
entity = ["quayworks:drive"]
pose = {axis = "axis"}
ends = {front = 1, back = -1}

[parts."quayworks:cone_step".link]
diameter = {property = "step", values = {"1" = 125, "2" = 100, "3" = 75, "4" = 50}}
partner = {stored = "Partner", form = "list"}
"""


def belts_of(sizes: list[tuple[Number, Number]]) -> list[Belt]:
    """Belts from shaft 0 to shaft 1, from there to shaft 2 and so on, each at its own distance."""
    steps = [(5, 1), (3, -4), (7, 2)]
    return [
        Belt(str(number), str(number + 1), size, step=step)
        for number, (size, step) in enumerate(zip(sizes, steps, strict=False))
    ]


@pytest.mark.parametrize(("sizes", "speeds"), CHAINS)
def test_a_chain_of_belts_has_every_published_speed_whatever_the_order(
    sizes: list[tuple[Number, Number]], speeds: list[int]
) -> None:
    turns = {str(number): rpm for number, rpm in enumerate(speeds)}
    for shaft, rpm in turns.items():
        for order in permutations([*belts_of(sizes), Motor(shaft, rpm)]):
            assert solved(*order) == turns


@pytest.mark.parametrize(("sizes", "speeds"), CHAINS)
def test_a_chain_of_belts_between_blocks_has_every_published_speed(
    sizes: list[tuple[Number, Number]], speeds: list[int]
) -> None:
    halls = [
        hall(
            Motor(str(shaft), sense * rpm),
            *belts_of(sizes),
            axis=axis,
            origin=(40 * shaft, 64, 40 * "xyz".index(axis) + 150 * sense),
        )
        for axis, sense, (shaft, rpm) in product("xyz", (1, -1), enumerate(speeds))
    ]
    seen = audited(*halls)
    assert [seen.turns(each) for each in halls] == [
        {str(number): sense * rpm for number, rpm in enumerate(speeds)}
        for _, sense, _ in product("xyz", (1, -1), speeds)
    ]
    assert [network.state for network in seen.networks] == ["turning"] * len(halls)


@checked(CHAIN)
def test_a_belt_that_closes_the_chain_fits_the_published_speeds_only() -> None:
    """From the spindle's 2200 rpm straight back to the motor's 1500 is 15 on 22."""
    chain = belts_of([(4, 20), (8, 4), (11, 3)])
    for sizes, spindle in (((15, 22), 2200), ((15, 23), None)):
        back = Belt("3", "0", sizes)
        assert solved(Motor("0", 1500), *chain, back)["3"] == spindle


def cones(origin: At, *belted: int) -> list[Placement]:
    """Two cone pulleys on shafts 6 blocks apart, with belts on some steps; 60 rpm drive one."""
    x, y, z = origin
    blocks = [block((x - 1, y, z), "motor", "x", Rpm=60, Torque=1)]
    for step, (driver, driven) in enumerate(zip(STEPS, reversed(STEPS), strict=True)):
        partner = {"Partner": [0, 6, 0]} if step in belted else {}
        blocks += [
            block((x + step, y, z), "open_pulley", "x", Diameter=driver, **partner),
            block((x + step, y + 6, z), "open_pulley", "x", Diameter=driven),
        ]
    return blocks


@checked(CONE, SHIFT)
def test_each_step_of_a_cone_pulley_gives_the_published_ratio() -> None:
    blocks = [item for step in range(4) for item in cones((10 * step, 64, 0), step)]
    seen = audited(blocks=blocks)
    for step, printed in enumerate(PRINTED):
        (driver,) = {seen.rpm[10 * step + at, 64, 0] for at in range(-1, 4)}
        (driven,) = {seen.rpm[10 * step + at, 70, 0] for at in range(4)}
        assert driver == 60
        assert_rounds_to(driven / driver, printed)
    assert all(len(set(pair)) == 2 for pair in pairwise(seen.rpm[10 * n, 70, 0] for n in range(4)))


@checked(CONE)
@pytest.mark.parametrize(("step", "printed"), list(enumerate(PRINTED, start=1)))
def test_a_step_said_by_the_block_state_gives_the_published_ratio(step: int, printed: str) -> None:
    made = shop(
        [
            drive((0, 64, 0), "engine[facing=east,lit=true]", Rpm=60),
            drive((1, 64, 0), f"cone_step[axis=x,step={step}]", Partner=[1, 70, 3]),
            drive((1, 70, 3), f"cone_step[axis=x,step={5 - step}]"),
        ],
        CONE_PULLEY,
    )
    assert made.rpm(1, 64, 0) == 60
    assert_rounds_to((made.rpm(1, 70, 3) or 0) / 60, printed)


@checked(TWO_BELTS)
@pytest.mark.parametrize("belted", [(0, 1), (1, 2), (0, 3), (0, 1, 2, 3)])
def test_belts_on_two_steps_of_a_cone_at_once_lock_it(belted: tuple[int, ...]) -> None:
    seen = audited(blocks=cones((0, 64, 0), *belted))
    assert [network.state for network in seen.networks] == ["conflicting"]
    assert seen.rules == ("loop-conflict",)
    assert set(seen.rpm.values()) == {None}


def assert_rounds_to(ratio: Fraction, printed: str) -> None:
    """The ratio is what was printed, to half of its last digit."""
    digits = len(printed.partition(".")[2])
    assert round(ratio, digits) == Fraction(printed)
