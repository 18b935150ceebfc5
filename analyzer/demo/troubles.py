"""The troubles of the yard: one build for each fault."""

from __future__ import annotations

from analyzer.demo.expect import OVERWORLD, Build, build
from analyzer.demo.parts import part, row


def mast_hall() -> Build:
    """Build the mast hall, which asks for more than its wheel gives.

    Five spar lathes in one row behind one tide wheel: 5 x 64 = 320 hands of 256, so all stand.
    """
    return build(
        OVERWORLD,
        tuple(
            row((3, 64, 24), "e", "tide_wheel[facing=east]", *["spar_lathe[axis=x]"] * 5),
        ),
        anchor=(3, 64, 24),
        state="overloaded",
        capacity=256,
        demand=320,
        rules=("overload",),
    )


def lantern_corner() -> Build:
    """Build the corner of the lantern room, where three gears in a ring hold each other.

    Three bull gears of 24 teeth, one about each axis, each touching both others: going round the
    ring the sense is reversed, so it can never turn.
    """
    return build(
        OVERWORLD,
        (
            *row((-9, 70, -8), "e", "tide_wheel[facing=east]", "bull_gear_24[axis=x]"),
            part((-7, 71, -8), "bull_gear_24[axis=y]"),
            part((-7, 70, -7), "bull_gear_24[axis=z]"),
        ),
        anchor=(-9, 70, -8),
        state="conflicting",
        capacity=256,
        demand=None,
        conflict="loop",
        rules=("loop-conflict",),
    )


def tar_yard() -> Build:
    """Build the tar yard, where two gear pairs between two shafts disagree.

    Bull gears of 24 and of 36 teeth on the lower shaft both drive trundles of 12 on the upper one:
    it should turn twice and three times as fast at once.
    """
    return build(
        OVERWORLD,
        (
            *row(
                (22, 64, -10),
                "e",
                "tide_wheel[facing=east]",
                "bull_gear_24[axis=x]",
                "line_shaft[axis=x]",
                "bull_gear_36[axis=x]",
            ),
            *row(
                (23, 65, -9),
                "e",
                "trundle_12[axis=x]",
                "line_shaft[axis=x]",
                "trundle_12[axis=x]",
                "strand_layer[facing=east]",
            ),
        ),
        anchor=(22, 64, -10),
        state="conflicting",
        capacity=256,
        demand=None,
        conflict="loop",
        rules=("loop-conflict",),
    )


def twin_sluices() -> Build:
    """Build the twin sluices, where two wheels face each other across one shaft.

    Each turns the same way as seen from behind it, so on the shaft they push opposite ways.
    """
    return build(
        OVERWORLD,
        tuple(
            row(
                (-28, 64, -10),
                "e",
                "tide_wheel[facing=east]",
                "line_shaft[axis=x]",
                "strand_layer[facing=east]",
                "line_shaft[axis=x]",
                "tide_wheel[facing=west]",
            )
        ),
        anchor=(-28, 64, -10),
        state="conflicting",
        capacity=512,
        demand=None,
        conflict="movers",
        rules=("mover-conflict",),
    )


def signal_tower() -> Build:
    """Build the signal tower, where a stair of gears runs past the limit.

    Six pairs of a bull gear of 24 teeth and a trundle of 12 climb the tower's stair, each doubling
    the one below: 16, 32, 64, 128, 256 rpm, which is allowed, and 512, which is not.
    """
    x, y, z = 18, 64, 22
    stair = [
        placed
        for step in range(6)
        for placed in (
            part((x + step, y + step, z + step), "bull_gear_24[axis=x]"),
            part((x + step, y + step + 1, z + step + 1), "trundle_12[axis=x]"),
        )
    ]
    return build(
        OVERWORLD,
        (part((x - 1, y, z), "tide_wheel[facing=east]"), *stair),
        anchor=(x - 1, y, z),
        state="turning",
        capacity=256,
        demand=0,
        rules=("over-speed",),
    )


def breakwater_hoist() -> Build:
    """Build the hoist on the breakwater, whose shaft leads into a chunk that cannot be read.

    The wheel and two strand layers stand in the last blocks before x = 528; what their shaft
    drives further east is lost with the damaged chunk.
    """
    return build(
        OVERWORLD,
        tuple(
            row(
                (524, 64, 8),
                "e",
                "tide_wheel[facing=east]",
                "strand_layer[facing=east]",
                "strand_layer[facing=east]",
                "line_shaft[axis=x]",
            )
        ),
        anchor=(524, 64, 8),
        state="turning",
        capacity=256,
        demand=128,
        cut=True,
        rules=("cut-network",),
    )
