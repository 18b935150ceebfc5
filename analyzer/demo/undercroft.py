"""The undercroft: the vaults below the quay, a dimension of their own."""

from __future__ import annotations

from analyzer.demo.expect import UNDERCROFT, Build, build
from analyzer.demo.parts import part, row


def boring_vault() -> Build:
    """Build the boring vault, where a gate sets the speed.

    The gate of the sluice wheel stands at notch 12, half an rpm each: 6 rpm and 16 x 6 = 96 hands.
    Two bull gears of 20 teeth turn the shaft downward to an auger: 4 x 6 = 24 hands.
    """
    return build(
        UNDERCROFT,
        (
            part((-20, 30, -18), "sluice_wheel[facing=east]", Gate={"Notches": 12}),
            part((-19, 30, -18), "bull_gear_20[axis=x]"),
            part((-18, 29, -18), "bull_gear_20[axis=y]"),
            part((-18, 28, -18), "trunnel_auger"),
        ),
        anchor=(-20, 30, -18),
        state="turning",
        capacity=96,
        demand=24,
    )


def old_sail_loft() -> Build:
    """Build the old sail loft, where nobody walks in the treadwheel any more."""
    return build(
        UNDERCROFT,
        tuple(
            row(
                (-22, 30, -27),
                "e",
                "treadwheel[facing=east,walkers=0]",
                "oak_shaft[axis=x]",
                "strand_layer[facing=east]",
            )
        ),
        anchor=(-22, 30, -27),
        state="idle",
        capacity=0,
        demand=0,
        rules=("undriven-machines",),
    )
