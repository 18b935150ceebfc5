"""Cases of switches, own offsets and a part of two blocks."""

from __future__ import annotations

from analyzer.demo.content import place
from analyzer.demo.parts import part
from tests.cases.case import PRACTICE, Case, Fault, Network, drives_nothing
from tests.support.sketch import sketch


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
        chain(),
        crown(),
        two_blocks(),
    ]
