"""Cases of motion: what turns, which way, and how fast."""

from __future__ import annotations

from analyzer.demo.content import Placement
from tests.cases.case import Case, Fault, Network, drives_nothing
from tests.cases.stairs import stair
from tests.support.sketch import sketch


def far_drives_near() -> Case:
    return Case(
        name="a-far-rim-of-twice-the-teeth-doubles",
        question="A far rim of 24 teeth at 8 rpm drives a near rim of 12. How fast does it turn?",
        working=(
            "The pitch speed is the same on both: 24 x 8 = 12 x 16.",
            "Two toothed rims side by side turn against each other: -16 rpm.",
        ),
        blocks=stair((2, 64, 2), 1),
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "0", {(3, 64, 2): "8", (3, 65, 3): "-16"}),
        ),
        faults=(drives_nothing((2, 64, 2)),),
    )


def near_drives_far() -> Case:
    return Case(
        name="a-near-rim-of-half-the-teeth-halves",
        question="A near rim of 12 teeth at 8 rpm drives a far rim of 24. How fast does it turn?",
        working=(
            "The pitch speed is the same on both: 12 x 8 = 24 x 4.",
            "Two toothed rims side by side turn against each other: -4 rpm.",
        ),
        blocks=sketch(
            """
            wheel:e t12:x
            ---
            .       .
            .       b24:x
            """
        ),
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "0", {(3, 64, 2): "8", (3, 65, 3): "-4"}),
        ),
        faults=(drives_nothing((2, 64, 2)),),
    )


def _doublings(pairs: int, name: str, verdict: str) -> Case:
    rpm = 8 * 2**pairs
    top = (2 + pairs, 64 + pairs, 2 + pairs)
    return Case(
        name=name,
        question=f"8 rpm are doubled {pairs} times, and 256 rpm is the limit. Is that allowed?",
        working=(
            "Each bull gear of 24 teeth on a trundle of 12 doubles and reverses: 8, -16, 32, ...",
            f"After {pairs} times it is {rpm} rpm: {verdict}",
        ),
        blocks=stair((2, 64, 2), pairs),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=1 + 2 * pairs,
                capacity="256",
                demand="0",
                speeds={(3, 65, 3): "-16", top: f"{'-' if pairs % 2 else ''}{rpm}"},
            ),
        ),
        faults=[
            *([Fault("over-speed", top, 1, str(rpm), "256")] if rpm > 256 else []),
            drives_nothing((2, 64, 2)),
        ],
    )


def doublings() -> list[Case]:
    return [
        _doublings(4, "four-doublings-reach-128-rpm", "below the limit."),
        _doublings(5, "five-doublings-reach-the-limit", "the limit itself is allowed."),
        _doublings(6, "six-doublings-pass-the-limit", "over the limit."),
    ]


def crossed() -> Case:
    return Case(
        name="two-far-gears-at-a-right-angle-keep-the-speed",
        question="Far gears of 24 teeth carry a turn from an eastward axis to southward ones. How?",
        working=(
            "Equal teeth, so the speed stays 8 rpm.",
            "The southern gear is one step east and one south of the driving one. At the point of "
            "contact, one south of the driver, its rim moves down: (8, 0, 0) x (0, 0, 1) = "
            "(0, -8, 0). One west of the driven gear the same motion is (0, 0, w) x (-1, 0, 0) = "
            "(0, -w, 0): w = 8.",
            "The northern gear is one step east and one north: the driver's rim moves up there, "
            "(8, 0, 0) x (0, 0, -1) = (0, 8, 0) = (0, -w, 0): w = -8.",
            "Two lathes of torque 8 at 8 rpm: 2 x 64 = 128.",
        ),
        blocks=sketch(
            """
            .       .     lathe:z
            .       .     b24:z
            wheel:e b24:x .
            .       .     b24:z
            .       .     lathe:z
            """
        ),
        networks=(
            Network(
                anchor=(2, 64, 4),
                state="turning",
                parts=6,
                capacity="256",
                demand="128",
                speeds={(3, 64, 4): "8", (4, 64, 6): "8", (4, 64, 2): "-8"},
            ),
        ),
    )


def bevel() -> Case:
    return Case(
        name="a-bevel-box-turns-four-shafts",
        question="A shaft from the south drives a bevel box. How do the other three shafts turn?",
        working=(
            "In the box, neighbouring gears turn against each other about their outward normals; "
            "the gear opposite the driven one turns like it about its own outward normal.",
            "The wheel faces north, so it turns at -8 about south, and the box's southern gear "
            "with it: -8 about its outward normal, south.",
            "North: -8 about the outward normal north, which is +8 about south.",
            "East: +8 about the outward normal east. West: +8 about west, which is -8 about east.",
        ),
        blocks=sketch(
            """
            .       shaft:z .
            shaft:x bevel:s shaft:x
            .       wheel:n .
            """
        ),
        networks=(
            Network(
                anchor=(2, 64, 3),
                state="turning",
                parts=5,
                capacity="256",
                demand="0",
                speeds={
                    (3, 64, 4): "-8",
                    (3, 64, 2): "8",
                    (4, 64, 3): "8",
                    (2, 64, 3): "-8",
                },
            ),
        ),
        faults=(drives_nothing((3, 64, 4)),),
        source="Bevel gears in a ring turn outward against inward; common practice, no source",
    )


def driven_by_its_rim() -> Case:
    return Case(
        name="a-machine-driven-through-its-rim",
        question="A stone with 12 teeth and no shaft stands beside a gear of 15. What does it ask?",
        working=(
            "The pitch speed is the same on both: 15 x 8 = 12 x 10, the other way round: -10 rpm.",
            "The stone has torque 4: 4 x 10 = 40.",
        ),
        blocks=sketch(
            """
            wheel:e t15:x
            .       stone:x
            """
        ),
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "40", {(3, 64, 2): "8", (3, 64, 3): "-10"}),
        ),
    )


def agreeing_loop() -> Case:
    return Case(
        name="two-gear-pairs-of-one-ratio-agree",
        question="Two shafts are joined by two gear pairs, both 24 on 12. Do they turn?",
        working=(
            "Each pair asks the upper shaft for -16 rpm: round the loop the product is 1.",
            "The layer asks for 8 x 16 = 128.",
        ),
        blocks=_two_pairs("b24:x"),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=8,
                capacity="256",
                demand="128",
                speeds={(5, 64, 2): "8", (3, 65, 3): "-16", (6, 65, 3): "-16"},
            ),
        ),
    )


def _two_pairs(second: str) -> tuple[Placement, ...]:
    """Two shafts, joined by a pair of 24 on 12 and by a second bull gear on 12."""
    return sketch(
        f"""
        wheel:e b24:x shaft:x {second} .
        ---
        .       .     .       .        .
        .       t12:x shaft:x t12:x    layer:e
        """
    )


def disagreeing_loop() -> Case:
    return Case(
        name="two-gear-pairs-of-different-ratios-lock",
        question="Two shafts are joined by two gear pairs, 24 on 12 and 36 on 12. Do they turn?",
        working=(
            "One pair asks the upper shaft for -16 rpm, the other for -24.",
            "Only 0 satisfies both: the loop of six parts locks.",
        ),
        blocks=_two_pairs("b36:x"),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="conflicting",
                conflict="loop",
                parts=8,
                capacity="256",
                demand=None,
                speeds={},
            ),
        ),
        faults=(Fault("loop-conflict", (3, 64, 2), 6),),
    )


def corner() -> Case:
    return Case(
        name="three-gears-in-a-ring-lock",
        question="Three far gears, one about each axis, each touch both others. Do they turn?",
        working=(
            "From the x gear at (3, 64, 2) to the y gear at (4, 65, 2): +1 x, +1 y: sign +.",
            "From the y gear to the z gear at (4, 64, 3): -1 y, +1 z: sign -.",
            "From the z gear back to the x gear: -1 z, -1 x: sign +.",
            "The product round the ring is -1: it locks.",
        ),
        blocks=sketch(
            """
            wheel:e b24:x .
            .       .     b24:z
            ---
            .       .     b24:y
            """
        ),
        networks=(Network((2, 64, 2), "conflicting", 4, "256", None, {}, conflict="loop"),),
        faults=(Fault("loop-conflict", (3, 64, 2), 3),),
        source="Three gears that touch each other in a ring are locked; common practice, no source",
    )


def opposed_movers() -> Case:
    return Case(
        name="two-opposed-movers-lock",
        question="Two tide wheels face each other across a shaft. Does it turn?",
        working=(
            "The western one faces east: +8 rpm about east. The eastern one faces west: -8.",
            "Opposite senses on one shaft: only 0 satisfies both.",
        ),
        blocks=sketch("wheel:e shaft:x wheel:w"),
        networks=(Network((2, 64, 2), "conflicting", 3, "512", None, {}, conflict="movers"),),
        faults=(Fault("mover-conflict", (2, 64, 2), 2, "8", "-8"),),
    )


def agreeing_movers() -> Case:
    return Case(
        name="two-movers-the-same-way-round-turn",
        question="Two tide wheels on one shaft face the same way. Does it turn?",
        working=("Both ask for +8 rpm about east: 2 x 256 = 512.",),
        blocks=sketch("wheel:e shaft:x wheel:e"),
        networks=(
            Network((2, 64, 2), "turning", 3, "512", "0", {(2, 64, 2): "8", (4, 64, 2): "8"}),
        ),
        faults=(drives_nothing((2, 64, 2), 2),),
    )


_OPPOSED_SHAFTS = (
    "The front shaft turns at 8 rpm. Its gear of 24 drives a trundle of 12, that one a second and "
    "that one a third on the back shaft: three meshes, so the back shaft turns at -16."
)


def touching_both() -> Case:
    return Case(
        name="a-near-gear-between-two-far-gears-of-opposite-sense-locks",
        question="A near gear touches two far gears that turn opposite ways. Does it turn?",
        working=(
            _OPPOSED_SHAFTS,
            "The near gear of 12 touches 48 teeth at 8 rpm in front: -8 x 48 / 12 = -32 rpm.",
            "It touches 24 teeth at -16 rpm at the back too: 16 x 24 / 12 = +32 rpm.",
            "Only 0 satisfies both: the loop of nine parts locks.",
        ),
        blocks=sketch(
            """
            wheel:e b24:x shaft:x b48:x
            .       .     .       .
            .       t12:x shaft:x b24:x
            ---
            .       .     .       .     .
            .       t12:x .       t12:x picker:e
            .       t12:x .       .     .
            """
        ),
        networks=(Network((2, 64, 2), "conflicting", 11, "256", None, {}, conflict="loop"),),
        faults=(Fault("loop-conflict", (3, 64, 2), 9),),
    )


def clear_of_one() -> Case:
    return Case(
        name="a-shaft-length-keeps-a-near-gear-clear-of-one-far-gear",
        question="The same, but the far gear at the back stands one shaft length further. Now?",
        working=(
            _OPPOSED_SHAFTS,
            "The near gear of 12 touches 48 teeth at 8 rpm in front alone: -32 rpm.",
            "The picker on its shaft asks for 4 x 32 = 128.",
        ),
        blocks=sketch(
            """
            wheel:e b24:x shaft:x b48:x   .
            .       .     .       .       .
            .       t12:x shaft:x shaft:x b24:x
            ---
            .       .     .       .     .
            .       t12:x .       t12:x picker:e
            .       t12:x .       .     .
            """
        ),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=12,
                capacity="256",
                demand="128",
                speeds={
                    (3, 65, 3): "-16",
                    (3, 65, 4): "16",
                    (3, 64, 4): "-16",
                    (6, 64, 4): "-16",
                    (5, 65, 3): "-32",
                    (6, 65, 3): "-32",
                },
            ),
        ),
    )


def cases() -> list[Case]:
    return [
        far_drives_near(),
        near_drives_far(),
        *doublings(),
        crossed(),
        bevel(),
        driven_by_its_rim(),
        agreeing_loop(),
        disagreeing_loop(),
        corner(),
        opposed_movers(),
        agreeing_movers(),
        touching_both(),
        clear_of_one(),
    ]
