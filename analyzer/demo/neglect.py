"""What nobody has looked after: builds that turn, or could, and are not as they should be."""

from __future__ import annotations

from dataclasses import replace

from analyzer.demo.expect import OVERWORLD, Build, build
from analyzer.demo.parts import part, row


def rival_regulators() -> Build:
    """Build the rival regulators, where two governors hold one shaft to different speeds.

    Two wheels, one at each end, turn a governor each; the strand layer between the governors should
    run at 5 rpm after the western one and at 6 after the eastern one, which looks the other way and
    is set to -6.
    """
    return build(
        OVERWORLD,
        (
            part((42, 64, 5), "tide_wheel[facing=east]"),
            part((43, 64, 5), "flyball_governor[facing=east]", Balls={"Rpm": 5}),
            part((44, 64, 5), "strand_layer[facing=east]"),
            part((45, 64, 5), "flyball_governor[facing=west]", Balls={"Rpm": -6}),
            part((46, 64, 5), "tide_wheel[facing=west]"),
        ),
        anchor=(42, 64, 5),
        state="conflicting",
        capacity=512,
        demand=None,
        conflict="governors",
        rules=("governor-conflict",),
    )


def bare_sheave() -> Build:
    """Build the landing where a rope leads to a sheave that was taken down.

    One person walks, the sheave turns, and three blocks up there is nothing that its rope could
    turn.
    """
    return build(
        OVERWORLD,
        (
            part((42, 64, 10), "treadwheel[facing=east,walkers=1]"),
            part((43, 64, 10), "rope_sheave[axis=x]", LeadsTo={"X": 43, "Y": 67, "Z": 10}),
        ),
        anchor=(42, 64, 10),
        state="turning",
        capacity=48,
        demand=0,
        rules=("broken-link",),
    )


def horse_whim() -> Build:
    """Build the whim, which is too slow for the auger below it.

    One walker on an upright axle turns the auger at 4 rpm, and below 5 it does not cut.
    """
    return build(
        OVERWORLD,
        (
            part((42, 65, 15), "treadwheel[facing=down,walkers=1]"),
            part((42, 64, 15), "trunnel_auger"),
        ),
        anchor=(42, 64, 15),
        state="turning",
        capacity=48,
        demand=16,
        rules=("too-slow",),
    )


def refitted_spindle() -> Build:
    """Build the spindle whose gear was changed and that the save still remembers as it was.

    A bull gear of 24 teeth drives a trundle of 12: -16 rpm. The shaft behind it was saved at -12.8,
    when a trundle of 15 was still in its place.
    """
    return build(
        OVERWORLD,
        (
            *row((42, 64, 20), "e", "tide_wheel[facing=east]", "bull_gear_24[axis=x]"),
            part((43, 65, 21), "trundle_12[axis=x]"),
            part((44, 65, 21), "line_shaft[axis=x]", Rpm=-12.8),
        ),
        anchor=(42, 64, 20),
        state="turning",
        capacity=256,
        demand=0,
        rules=("stale-record",),
    )


def stuck_gate() -> Build:
    """Build the gate whose notches were saved as a word, so that the wheel's speed is not known."""
    return build(
        OVERWORLD,
        (
            part((57, 64, 5), "sluice_wheel[facing=east]", Gate={"Notches": "jammed"}),
            part((58, 64, 5), "strand_layer[facing=east]"),
        ),
        anchor=(57, 64, 5),
        state="idle",
        capacity=0,
        demand=0,
        cut=True,
        rules=("unusable-number",),
    )


def unweighed_boat() -> Build:
    """Build the slip whose boat was never weighed: what its winch asks for is not known."""
    return build(
        OVERWORLD,
        (
            part((57, 64, 10), "tide_wheel[facing=east]"),
            part((58, 64, 10), "slip_winch[facing=south]", Pull=float("nan")),
        ),
        anchor=(57, 64, 10),
        state="turning",
        capacity=256,
        demand=None,
        cut=True,
        rules=("unusable-number",),
    )


def lost_ledger() -> Build:
    """Build the walk whose treadwheel stands there without any data, so that nothing is known."""
    wheel = replace(part((57, 64, 15), "treadwheel[facing=east,walkers=3]"), entity=None)
    walk = build(
        OVERWORLD,
        (part((58, 64, 15), "strand_layer[facing=east]"),),
        anchor=(58, 64, 15),
        state="idle",
        capacity=0,
        demand=0,
        rules=("undriven-machines",),
    )
    return replace(walk, placements=(wheel, *walk.placements))
