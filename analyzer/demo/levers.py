"""What is thrown in and out, turned round or held back: clutches, reversers, brakes, governors."""

from __future__ import annotations

from analyzer.demo.content import Placement, place
from analyzer.demo.expect import OVERWORLD, Build, build, joined
from analyzer.demo.parts import part, row


def hemp_store() -> Build:
    """Build the hemp store, where a clutch is in and another is out.

    From west to east on one line: a wheel, a clutch that is in, two strand layers (2 x 8 x 8 = 128
    hands), a clutch that is out, and a third layer behind it, which nothing drives.
    """
    return joined(
        build(
            OVERWORLD,
            tuple(
                row(
                    (57, 64, -27),
                    "e",
                    "tide_wheel[facing=east]",
                    "dog_clutch[axis=x,lever=in]",
                    "strand_layer[facing=east]",
                    "strand_layer[facing=east]",
                    "dog_clutch[axis=x,lever=out]",
                )
            ),
            anchor=(57, 64, -27),
            state="turning",
            capacity=256,
            demand=128,
        ),
        build(
            OVERWORLD,
            (part((62, 64, -27), "strand_layer[facing=east]"),),
            anchor=(62, 64, -27),
            state="idle",
            capacity=0,
            demand=0,
            rules=("undriven-machines",),
        ),
    )


def keel_slip() -> Build:
    """Build the keel slip, where the boat is let down again.

    Two people in a treadwheel turn at 4 rpm into the back of a tumbler reverse, whose lever says
    astern; the winch in front of it turns at 4 rpm the other way. It needs a pull of 16: 64 hands.
    """
    return build(
        OVERWORLD,
        (
            part((57, 64, -22), "treadwheel[facing=east,walkers=2]"),
            part((58, 64, -22), "tumbler_reverse[facing=east,lever=astern]"),
            part((59, 64, -22), "slip_winch[facing=south]", Pull=16),
        ),
        anchor=(57, 64, -22),
        state="turning",
        capacity=96,
        demand=64,
    )


def lock_house() -> Build:
    """Build the lock house, where flying balls hold two strand layers back to 5 rpm.

    The wheel turns the back of the governor at 8 rpm, whose front turns at 5: 2 x 8 x 5 = 80 hands.
    The counters of the layers agree: 50 tenths of an rpm.
    """
    counted = {"Counter": {"Tenths": 50}}
    return build(
        OVERWORLD,
        (
            part((57, 64, -17), "tide_wheel[facing=east]", Rpm=8.0),
            part((58, 64, -17), "flyball_governor[facing=east]", Balls={"Rpm": 5}),
            part((59, 64, -17), "strand_layer[facing=east]", **counted),
            part((60, 64, -17), "strand_layer[facing=east]", **counted),
        ),
        anchor=(57, 64, -17),
        state="turning",
        capacity=256,
        demand=80,
    )


def ebb_house() -> Build:
    """Build the ebb house, where a governor follows whichever way the water runs.

    The wheel faces west, so that seen from the east it turns at -8 rpm. A lever governor with one
    weight holds the lathe before it to 4 rpm, in the wheel's own sense: 8 x 4 = 32 hands.
    """
    return build(
        OVERWORLD,
        tuple(
            row(
                (60, 64, -12),
                "w",
                "tide_wheel[facing=west]",
                "lever_governor[facing=west,weights=1]",
                "spar_lathe[axis=x]",
            )
        ),
        anchor=(58, 64, -12),
        state="turning",
        capacity=256,
        demand=32,
    )


def mill_mound() -> Build:
    """Build the mill mound, where wind and tide drive one shaft at different speeds.

    The wind engine west of the shaft asks for 12 rpm, the tide wheel at its eastern end the same
    way round for 8. The faster one leads and the other is dragged along, still giving what it can:
    192 + 256 = 448 hands, of which the strand layer between them takes 8 x 12 = 96.
    """
    return joined(
        build(
            OVERWORLD,
            (
                part((57, 64, -7), "wind_engine[brake=off,facing=west,half=lower]"),
                *row(
                    (58, 65, -7),
                    "e",
                    "line_shaft[axis=x]",
                    "strand_layer[facing=west]",
                    "tide_wheel[facing=west]",
                ),
            ),
            anchor=(57, 64, -7),
            state="turning",
            capacity=448,
            demand=96,
        ),
        besides=(_cap((57, 65, -7), "off"),),
    )


def watch_hill() -> Build:
    """Build the watch hill, where people walk while the wind engine is braked.

    The engine's brake is set, so its shaft is dragged along free of charge by one person in a
    treadwheel: 12 x 4 = 48 hands, of which the oakum picker between them takes 4 x 4 = 16.
    """
    return joined(
        build(
            OVERWORLD,
            (
                part((57, 64, -2), "wind_engine[brake=set,facing=west,half=lower]"),
                *row(
                    (58, 65, -2),
                    "e",
                    "bevel_box[facing=east]",
                    "treadwheel[facing=west,walkers=1]",
                ),
                part((58, 65, -3), "oakum_picker[facing=north]"),
            ),
            anchor=(57, 64, -2),
            state="turning",
            capacity=48,
            demand=16,
        ),
        besides=(_cap((57, 65, -2), "set"),),
    )


def clutch_row() -> Build:
    """Build the long walk, where each of seven layers has a clutch of its own.

    Two wheels give 512 hands; seven strand layers with all their clutches in ask for
    7 x 8 x 8 = 448. Every clutch is one more thing that changes the network under way.
    """
    span = ("dog_clutch[axis=x,lever=in]", "strand_layer[facing=east]")
    return build(
        OVERWORLD,
        tuple(
            row(
                (42, 64, 0),
                "e",
                "tide_wheel[facing=east]",
                "tide_wheel[facing=east]",
                *(span * 7),
            )
        ),
        anchor=(42, 64, 0),
        state="turning",
        capacity=512,
        demand=448,
        rules=("heavy-network",),
    )


def _cap(at: tuple[int, int, int], brake: str) -> Placement:
    """Place the upper block of a wind engine that faces west: no part of its own, without data."""
    return place(at, f"quayworks:wind_engine[brake={brake},facing=west,half=upper]")
