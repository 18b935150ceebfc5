"""The riggers' row: ropes, chains and pegs that work as they should."""

from __future__ import annotations

from analyzer.demo.expect import OVERWORLD, Build, build
from analyzer.demo.parts import packed, part, row


def rigging_loft() -> Build:
    """Build the rigging loft, where an open rope drives two strand layers.

    On the wheel's shaft sits a great sheave of diameter 3. Its rope runs four blocks south to a
    sheave of diameter 2, which turns the same way at 8 x 3 / 2 = 12 rpm. Each sheave keeps where
    the rope leads: the great one in steps, the small one as a place. Behind the small one stand two
    strand layers: 2 x 8 x 12 = 192 hands.
    """
    return build(
        OVERWORLD,
        (
            part((42, 64, -27), "tide_wheel[facing=east]"),
            part((43, 64, -27), "great_sheave[axis=x]", Rope={"Steps": [0, 0, 4]}),
            part((43, 64, -23), "rope_sheave[axis=x]", LeadsTo={"X": 43, "Y": 64, "Z": -27}),
            *row((44, 64, -23), "e", "strand_layer[facing=east]", "strand_layer[facing=east]"),
        ),
        anchor=(42, 64, -27),
        state="turning",
        capacity=256,
        demand=192,
    )


def hauling_shed() -> Build:
    """Build the hauling shed, where a crossed rope turns a winch the other way round.

    The sheave on the wheel's shaft has diameter 2, its rope crosses itself on the way up to a great
    sheave of diameter 3, which turns at 8 x 2 / 3 = 16/3 rpm against the wheel. Only the lower
    sheave keeps where the rope leads, packed into one number. The winch needs a pull of 9:
    9 x 16/3 = 48 hands.
    """
    return build(
        OVERWORLD,
        (
            part((42, 64, -17), "tide_wheel[facing=east]"),
            part((43, 64, -17), "crossed_sheave[axis=x]", LeadsTo=packed((43, 68, -17))),
            part((43, 68, -17), "great_sheave[axis=x]"),
            part((44, 68, -17), "slip_winch[facing=south]", Pull=9),
        ),
        anchor=(42, 64, -17),
        state="turning",
        capacity=256,
        demand=48,
    )


def chain_house() -> Build:
    """Build the chain house, where one chain lies round two wheels and a pinion above each other.

    A chain turns all that it lies round the same way: the lower wheel and the upper one at 8 rpm,
    the pinion on top half as fast again, at 12. The upper wheel drives a spar lathe (8 x 8 = 64
    hands), the pinion another one (8 x 12 = 96).
    """
    return build(
        OVERWORLD,
        (
            *row((42, 64, -11), "e", "tide_wheel[facing=east]", "chain_wheel[axis=x]"),
            *row((43, 65, -11), "e", "chain_wheel[axis=x]", "spar_lathe[axis=x]"),
            *row((43, 66, -11), "e", "chain_pinion[axis=x]", "spar_lathe[axis=x]"),
        ),
        anchor=(42, 64, -11),
        state="turning",
        capacity=256,
        demand=160,
    )


def boring_bench() -> Build:
    """Build the boring bench, where pegs on a crown wheel turn an upright trundle.

    Three people walk a crown wheel of 30 pegs round at 4 rpm. The trundle of 12 staves stands
    before its lower edge and runs at 4 x 30 / 12 = 10 rpm; the auger below it bores with
    4 x 10 = 40 hands.
    """
    return build(
        OVERWORLD,
        (
            part((42, 66, -5), "treadwheel[facing=east,walkers=3]"),
            part((43, 66, -5), "crown_wheel_30[facing=east]"),
            part((44, 65, -5), "trundle_12[axis=y]"),
            part((44, 64, -5), "trunnel_auger"),
        ),
        anchor=(42, 66, -5),
        state="turning",
        capacity=144,
        demand=40,
    )
