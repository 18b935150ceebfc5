"""Cases of governors: what they set, what agrees with them, and what contradicts them."""

from __future__ import annotations

from analyzer.demo.content import Placement
from analyzer.demo.parts import part
from tests.cases.case import DAMAGED, At, Case, Fault, Network, drives_nothing
from tests.support.sketch import sketch

GOVERNORS = "docs/mechanics.md, Governors"


def _governed(at: At, rpm: float, *behind: Placement) -> list[Placement]:
    x, y, z = at
    return [
        part(at, "tide_wheel[facing=east]"),
        part((x + 1, y, z), "flyball_governor[facing=east]", Balls={"Rpm": rpm}),
        *behind,
    ]


def set_speed() -> Case:
    return Case(
        name="a-governor-sets-the-speed-of-what-it-drives",
        question="A wheel at 8 rpm turns governors set to 5, 0 and -5. What turns behind them?",
        working=(
            "The layers run at 5, 0 and -5 rpm about the governor's front, which is east.",
            "They ask for 8 x 5 = 40, 0 and 40 of the wheels' 256 each.",
        ),
        blocks=[
            placed
            for z, rpm in ((2, 5), (5, 0), (8, -5))
            for placed in _governed((2, 64, z), rpm, part((4, 64, z), "strand_layer[facing=east]"))
        ],
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "40", {(3, 64, 2): "8", (4, 64, 2): "5"}),
            Network((2, 64, 5), "turning", 3, "256", "0", {(3, 64, 5): "8", (4, 64, 5): "0"}),
            Network((2, 64, 8), "turning", 3, "256", "40", {(3, 64, 8): "8", (4, 64, 8): "-5"}),
        ),
        source=GOVERNORS,
    )


def following() -> Case:
    return Case(
        name="a-governor-that-follows-takes-the-driving-sense",
        question="Lever governors stand before a wheel facing east and one facing west. Now?",
        working=(
            "One weight is 4 rpm, in the sense of the driving side.",
            "Facing east the wheel turns at 8 about east, so the lathe at 4.",
            "Facing west it turns at -8 about east, so the lathe at -4. Each asks for 8 x 4 = 32.",
        ),
        blocks=sketch(
            """
            wheel:e weights:e,weights=1 lathe:x
            .       .                   .
            .       .                   .
            lathe:x weights:w,weights=1 wheel:w
            """
        ),
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "32", {(4, 64, 2): "4"}),
            Network((2, 64, 5), "turning", 3, "256", "32", {(2, 64, 5): "-4", (4, 64, 5): "-8"}),
        ),
        source=GOVERNORS,
    )


def _between(z: int, western: float, eastern: float) -> tuple[Placement, ...]:
    """A strand layer between two governors that face each other, each with a wheel behind it."""
    return (
        part((2, 64, z), "tide_wheel[facing=east]"),
        part((3, 64, z), "flyball_governor[facing=east]", Balls={"Rpm": western}),
        part((4, 64, z), "strand_layer[facing=east]"),
        part((5, 64, z), "flyball_governor[facing=west]", Balls={"Rpm": eastern}),
        part((6, 64, z), "tide_wheel[facing=west]"),
    )


def two_governors() -> Case:
    return Case(
        name="two-governors-of-one-zone-agree-exactly-or-lock",
        question="Two governors that face each other set one shaft to 5 and to -4.9, -5 and -5.1.",
        working=(
            "About east the western one asks for 5, the eastern one for 4.9, 5 and 5.1.",
            "Only 5 and 5 agree: 8 x 5 = 40 of 512. The others lock, however little they differ.",
        ),
        blocks=(*_between(2, 5, -4.9), *_between(5, 5, -5), *_between(8, 5, -5.1)),
        networks=(
            Network((2, 64, 2), "conflicting", 5, "512", None, {}, conflict="governors"),
            Network((2, 64, 5), "turning", 5, "512", "40", {(4, 64, 5): "5", (6, 64, 5): "-8"}),
            Network((2, 64, 8), "conflicting", 5, "512", None, {}, conflict="governors"),
        ),
        faults=(
            Fault("governor-conflict", (3, 64, 2), 1, "5", "49/10"),
            Fault("governor-conflict", (3, 64, 8), 1, "5", "51/10"),
        ),
        source=GOVERNORS,
    )


def _bypassed(y: int, rpm: float) -> tuple[Placement, ...]:
    """A governor with a gear before and behind it, both on gears of one shaft beside it."""
    return (
        part((2, y, 2), "tide_wheel[facing=east]"),
        part((3, y, 2), "trundle_12[axis=x]"),
        part((4, y, 2), "flyball_governor[facing=east]", Balls={"Rpm": rpm}),
        part((5, y, 2), "trundle_12[axis=x]"),
        part((6, y, 2), "strand_layer[facing=east]"),
        part((3, y, 3), "trundle_12[axis=x]"),
        part((4, y, 3), "line_shaft[axis=x]"),
        part((5, y, 3), "trundle_12[axis=x]"),
    )


def bypassed() -> Case:
    return Case(
        name="a-governor-with-both-sides-in-one-zone-must-be-met",
        question="Gears of equal teeth lead round governors set to 7.9, 8 and 8.1. Do they turn?",
        working=(
            "Round the gears the shaft before the governor turns as the one behind: 8 rpm.",
            "A governor set to 8 is met and drives nothing: 8 x 8 = 64. One set to anything else "
            "asks for what the gears do not allow.",
        ),
        blocks=(*_bypassed(64, 7.9), *_bypassed(67, 8), *_bypassed(70, 8.1)),
        networks=(
            Network((2, 64, 2), "conflicting", 8, "256", None, {}, conflict="governors"),
            Network((2, 67, 2), "turning", 8, "256", "64", {(4, 67, 2): "8", (6, 67, 2): "8"}),
            Network((2, 70, 2), "conflicting", 8, "256", None, {}, conflict="governors"),
        ),
        faults=(
            Fault("governor-conflict", (4, 64, 2)),
            Fault("governor-conflict", (4, 70, 2)),
        ),
        source=GOVERNORS,
    )


def governed_mover() -> Case:
    return Case(
        name="a-governor-outranks-the-movers-behind-it",
        question="A wheel turns a governor set to 5; behind it stands another wheel. What turns?",
        working=(
            "Facing east, the second wheel asks for 8 the same way: it is dragged at 5 and still "
            "gives its 256.",
            "Facing west, it asks for -8 against the set 5: the movers conflict.",
        ),
        blocks=(
            *_governed((2, 64, 2), 5, part((4, 64, 2), "tide_wheel[facing=east]")),
            *_governed((2, 64, 5), 5, part((4, 64, 5), "tide_wheel[facing=west]")),
        ),
        networks=(
            Network((2, 64, 2), "turning", 3, "512", "0", {(2, 64, 2): "8", (4, 64, 2): "5"}),
            Network((2, 64, 5), "conflicting", 3, "512", None, {}, conflict="movers"),
        ),
        faults=(
            drives_nothing((2, 64, 2), 2),
            Fault("unequal-movers", (4, 64, 2), 1, "5", "8", level="note"),
            Fault("mover-conflict", (3, 64, 5), 1, "5", "-8"),
        ),
        source=GOVERNORS,
    )


def governor_at_a_cut() -> Case:
    return Case(
        name="a-governor-conflict-beside-a-damaged-chunk-stands",
        question="Rival governors, and a shaft that leads into a chunk that cannot be read. Now?",
        working=(
            "Two governors set one shaft to 5 and to 6: nothing behind the damage can settle that.",
            "The wheel's back end looks at x = 16.",
        ),
        blocks=(
            part((11, 64, 8), "tide_wheel[facing=east]"),
            part((12, 64, 8), "flyball_governor[facing=east]", Balls={"Rpm": 5}),
            part((13, 64, 8), "strand_layer[facing=east]"),
            part((14, 64, 8), "flyball_governor[facing=west]", Balls={"Rpm": -6}),
            part((15, 64, 8), "tide_wheel[facing=west]"),
        ),
        broken=DAMAGED,
        networks=(
            Network((11, 64, 8), "conflicting", 5, "512", None, {}, conflict="governors", cut=True),
        ),
        faults=(
            Fault("unread-chunks", None, level="warning"),
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault("governor-conflict", (12, 64, 8), 1, "5", "6"),
        ),
        source=GOVERNORS,
    )


def cases() -> list[Case]:
    return [
        set_speed(),
        following(),
        two_governors(),
        bypassed(),
        governed_mover(),
        governor_at_a_cut(),
    ]
