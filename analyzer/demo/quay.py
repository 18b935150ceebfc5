"""The quay: what works as it should."""

from __future__ import annotations

from analyzer.demo.expect import OVERWORLD, Build, build
from analyzer.demo.parts import part, row


def ropewalk() -> Build:
    """Build the ropewalk, which uses all its wheel can give.

    A tide wheel in the quay wall faces east and turns a shaft of oak along the walk, a block above
    the floor. Four strand layers stand in the shaft, three blocks apart. The walk crosses x = 0,
    where one region ends and the next begins. Each layer asks for 8 x 8 = 64 hands, so the four
    use the wheel's 32 x 8 = 256 to the last.
    """
    span = ("oak_shaft[axis=x]", "oak_shaft[axis=x]", "strand_layer[facing=east]")
    return build(
        OVERWORLD,
        tuple(row((-8, 64, -24), "e", "tide_wheel[facing=east]", *(span * 4))),
        anchor=(-8, 64, -24),
        state="turning",
        capacity=256,
        demand=256,
        rules=("thin-headroom",),
    )


def spar_shed() -> Build:
    """Build the spar shed, where a lathe runs at twice the wheel's speed.

    The wheel's shaft carries a bull gear of 24 teeth. A step up and a step south, a trundle of 12
    turns with it the other way round and drives the spar lathe at 16 rpm: 8 x 16 = 128 hands.
    """
    return build(
        OVERWORLD,
        (
            *row((3, 64, 5), "e", "tide_wheel[facing=east]", "bull_gear_24[axis=x]"),
            *row((4, 65, 6), "e", "trundle_12[axis=x]", "spar_lathe[axis=x]"),
        ),
        anchor=(3, 64, 5),
        state="turning",
        capacity=256,
        demand=128,
    )


def slipway() -> Build:
    """Build the slipway, where two bull gears carry the turn round a corner.

    The wheel faces east along the quay; two bull gears of 24 teeth, their axes at a right angle,
    hand the turn on to a shaft that runs south to the winch. The boat in the cradle needs a pull
    of 16, which the winch keeps in its data: 16 x 8 = 128 hands.
    """
    return build(
        OVERWORLD,
        (
            *row((19, 64, 4), "e", "tide_wheel[facing=east]", "bull_gear_24[axis=x]"),
            *row((21, 64, 5), "s", "bull_gear_24[axis=z]", "line_shaft[axis=z]"),
            part((21, 64, 7), "slip_winch[facing=east]", Pull=16),
        ),
        anchor=(19, 64, 4),
        state="turning",
        capacity=256,
        demand=128,
    )


def pitch_house() -> Build:
    """Build the pitch house, where one wheel serves three sides through a bevel box.

    Three people in a treadwheel at the south door turn the front of a bevel box at 4 rpm. North of
    the box stands an oakum picker (4 x 4 = 16 hands). East and west, riser boxes turn a stirrer
    each in the tar kettles on top of them, half as fast again (2 x 6 = 12 hands each).
    """
    return build(
        OVERWORLD,
        (
            part((-10, 64, 11), "treadwheel[facing=north,walkers=3]"),
            part((-10, 64, 10), "bevel_box[facing=south]"),
            part((-10, 64, 9), "oakum_picker[facing=north]"),
            part((-11, 64, 10), "riser_box[axis=x]"),
            part((-11, 65, 10), "kettle_stirrer[mount=standing]"),
            part((-9, 64, 10), "riser_box[axis=x]"),
            part((-9, 65, 10), "kettle_stirrer[mount=standing]"),
        ),
        anchor=(-11, 64, 10),
        state="turning",
        capacity=144,
        demand=40,
    )


def sharpening_bench() -> Build:
    """Build the sharpening bench, whose stone is driven by its toothed edge alone.

    Two people in a treadwheel turn a trundle of 15 teeth; the stone with its 12 stands beside it
    and runs at 4 x 15 / 12 = 5 rpm the other way: 4 x 5 = 20 hands.
    """
    return build(
        OVERWORLD,
        (
            *row((-26, 64, 8), "e", "treadwheel[facing=east,walkers=2]", "trundle_15[axis=x]"),
            part((-25, 64, 9), "edge_stone[axis=x]"),
        ),
        anchor=(-26, 64, 8),
        state="turning",
        capacity=96,
        demand=20,
    )
