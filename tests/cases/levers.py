"""Cases of switches, governors and own offsets."""

from __future__ import annotations

from analyzer.demo.content import Placement, place
from analyzer.demo.manner import Compression
from analyzer.demo.parts import part
from analyzer.demo.region import slot_bytes
from tests.cases.case import PRACTICE, At, Case, Fault, Network, drives_nothing
from tests.support.sketch import sketch

DAMAGED = {(1, 0): slot_bytes(b"this is no chunk", Compression.NONE)}
GOVERNORS = "docs/mechanics.md, Governors"


def clutches() -> Case:
    return Case(
        name="a-clutch-that-is-out-parts-a-network",
        question="Two rows with a clutch each, one in and one out. What turns?",
        working=(
            "In: one network, 256 against 64.",
            "Out: the wheel and the clutch's near half turn and drive nothing; the layer behind it "
            "is a network of its own without a mover.",
        ),
        blocks=sketch(
            """
            wheel:e clutch:x,lever=in  layer:e
            .       .                  .
            .       .                  .
            wheel:e clutch:x,lever=out layer:e
            """
        ),
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "64", {(4, 64, 2): "8"}),
            Network((2, 64, 5), "turning", 2, "256", "0", {(3, 64, 5): "8"}),
            Network((4, 64, 5), "idle", 1, "0", "0", {}),
        ),
        faults=(
            drives_nothing((2, 64, 5)),
            Fault("undriven-machines", (4, 64, 5), level="warning"),
        ),
    )


def reversers() -> Case:
    rows = {2: ("ahead", "ahead", "8"), 5: ("ahead", "astern", "-8"), 8: ("astern", "astern", "8")}
    return Case(
        name="two-reversers-multiply",
        question="Two tumbler reverses stand in a row, none, one or both astern. What comes out?",
        working=(
            "Each that is astern reverses what leaves it in front: 8, -8 and 8 rpm.",
            "The layers ask for 64 each way.",
        ),
        blocks=[
            placed
            for z, (first, second, _) in rows.items()
            for placed in sketch(
                f"wheel:e reverse:e,lever={first} reverse:e,lever={second} layer:e", at=(2, 64, z)
            )
        ],
        networks=[
            Network((2, 64, z), "turning", 4, "256", "64", {(3, 64, z): "8", (5, 64, z): rpm})
            for z, (_, _, rpm) in rows.items()
        ],
    )


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


def chain() -> Case:
    return Case(
        name="a-chain-round-neighbours-turns-all-one-way",
        question="A chain lies round two wheels and a pinion above each other. How do they turn?",
        working=(
            "A chain turns all it lies round the same way: 8 and 8 rpm.",
            "The catalogue gives the pinion 3/2 of a wheel's speed: 12 rpm, also the same way.",
            "A wheel beside the upper one whose axis is another does not couple.",
        ),
        blocks=sketch(
            """
            wheel:e chain:x
            ---
            .       chain:x
            .       chain:z
            ---
            .       pinion:x layer:e
            """
        ),
        networks=(
            Network(
                (2, 64, 2),
                "turning",
                5,
                "256",
                "96",
                {(3, 64, 2): "8", (3, 65, 2): "8", (3, 66, 2): "12"},
            ),
            Network((3, 65, 3), "idle", 1, "0", "0", {}),
        ),
    )


def crown() -> Case:
    return Case(
        name="a-crown-wheel-turns-trundles-before-its-face",
        question="Trundles of 12 stand above, below and south of the face of a crown wheel of 30.",
        working=(
            "The crown wheel turns at 8 rpm about east; 30 x 8 = 12 x 20.",
            "Its upper peg moves (8, 0, 0) x (0, 1, 0) = (0, 0, 8), south. The upright trundle has "
            "it to its west: (0, w, 0) x (-1, 0, 0) = (0, 0, w): w = +20.",
            "Its lower peg moves north, (0, 0, -8), west of the lower trundle: w = -20.",
            "Its southern peg moves down, (8, 0, 0) x (0, 0, 1) = (0, -8, 0). West of a trundle "
            "about the southward axis that is (0, 0, w) x (-1, 0, 0) = (0, -w, 0): w = +20.",
        ),
        blocks=(
            part((4, 66, 4), "tide_wheel[facing=east]"),
            part((5, 66, 4), "crown_wheel_30[facing=east]"),
            part((6, 67, 4), "trundle_12[axis=y]"),
            part((6, 65, 4), "trundle_12[axis=y]"),
            part((6, 66, 5), "trundle_12[axis=z]"),
        ),
        networks=(
            Network(
                (4, 66, 4),
                "turning",
                5,
                "256",
                "0",
                {(6, 67, 4): "20", (6, 65, 4): "-20", (6, 66, 5): "20"},
            ),
        ),
        faults=(drives_nothing((4, 66, 4)),),
        source=PRACTICE,
    )


def two_blocks() -> Case:
    return Case(
        name="a-mover-of-two-blocks-drives-from-the-upper-one",
        question="A wind engine keeps its data below, and its shaft leaves the block above. Now?",
        working=(
            "The upper block is no part. The shaft leaves it in the east, behind the sails.",
            "Facing west the engine turns at 12 about west, -12 about east, if the brake is off.",
            "16 x 12 = 192 against 8 x 12 = 96.",
            "With the brake set it is dragged along by the tide wheel: 256 against 64.",
        ),
        blocks=[
            placed
            for z, brake, wheel in ((2, "off", ()), (6, "set", ("tide_wheel[facing=west]",)))
            for placed in (
                part((2, 64, z), f"wind_engine[brake={brake},facing=west,half=lower]"),
                place((2, 65, z), f"quayworks:wind_engine[brake={brake},facing=west,half=upper]"),
                part((3, 65, z), "strand_layer[facing=west]"),
                *(part((4, 65, z), state) for state in wheel),
            )
        ],
        networks=(
            Network((2, 64, 2), "turning", 2, "192", "96", {(2, 64, 2): "-12", (3, 65, 2): "-12"}),
            Network((2, 64, 6), "turning", 3, "256", "64", {(2, 64, 6): "-8", (4, 65, 6): "-8"}),
        ),
    )


def cases() -> list[Case]:
    return [
        clutches(),
        reversers(),
        set_speed(),
        following(),
        two_governors(),
        bypassed(),
        governed_mover(),
        governor_at_a_cut(),
        chain(),
        crown(),
        two_blocks(),
    ]
