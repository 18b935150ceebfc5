"""Cases of warnings with a limit: one just below it, one exactly on it, one above."""

from __future__ import annotations

from fractions import Fraction

from analyzer.demo.content import Placement
from analyzer.demo.parts import part
from tests.cases.case import DAMAGED, At, Case, Fault, Network, thin


def _pulls(at: At, pull: float, *after: str) -> list[Placement]:
    """A tide wheel facing east, a winch that needs a pull, and whatever stands behind it."""
    x, y, z = at
    behind = [part((x + 2 + east, y, z), state) for east, state in enumerate(after)]
    return [
        part(at, "tide_wheel[facing=east]"),
        part((x + 1, y, z), "slip_winch[facing=south]", Pull=pull),
        *behind,
    ]


def headroom() -> Case:
    pulls = {"229.6": (28.7, 2), "230.4": (28.8, 6), "231.2": (28.9, 10)}
    return Case(
        name="headroom-of-a-tenth-is-not-thin",
        question="Headroom below a tenth of capacity is thin. Is a tenth itself?",
        working=(
            "A tide wheel gives 256, a tenth of which is 25.6.",
            "Facing south, a winch has its right in the west: it turns at -8 about its front.",
            "At 8 rpm a pull of 28.7 asks for 229.6: 26.4 are left, enough.",
            "A pull of 28.8 asks for 230.4: 25.6 are left, just enough.",
            "A pull of 28.9 asks for 231.2: 24.8 are left, thin.",
        ),
        blocks=[placed for pull, z in pulls.values() for placed in _pulls((2, 64, z), pull)],
        networks=[
            Network((2, 64, z), "turning", 2, "256", str(Fraction(demand)), {(3, 64, z): "-8"})
            for demand, (_, z) in pulls.items()
        ],
        faults=[thin((3, 64, 10), 1, "124/5", "128/5")],
    )


def headroom_at_a_cut() -> Case:
    return Case(
        name="thin-headroom-beside-a-damaged-chunk-is-a-note",
        question="A row with thin headroom points into a chunk that cannot be read. Is it thin?",
        working=(
            "8 x 28.9 = 231.2 of 256: 24.8 are left, less than 25.6.",
            "A mover behind the damage might add to it, so it is a note.",
        ),
        blocks=_pulls((13, 64, 8), 28.9, "line_shaft[axis=x]"),
        broken=DAMAGED,
        networks=(
            Network((13, 64, 8), "turning", 3, "256", "1156/5", {(15, 64, 8): "8"}, cut=True),
        ),
        faults=(
            Fault("unread-chunks", None, level="warning"),
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault(
                "thin-headroom",
                (14, 64, 8),
                measured="124/5",
                limit="128/5",
                level="note",
                certain="as far as read",
            ),
        ),
    )


def _gate(at: At, notches: int, below: str) -> list[Placement]:
    """A sluice wheel whose shaft goes down into a machine."""
    x, y, z = at
    return [
        part(at, "sluice_wheel[facing=down]", Gate={"Notches": notches}),
        part((x, y - 1, z), below),
    ]


def least_speed() -> Case:
    gates = {9: ("9/2", 2), 10: ("5", 6), 11: ("11/2", 10)}
    return Case(
        name="the-least-speed-itself-is-enough",
        question="An auger needs 5 rpm. Which of 4.5, 5 and 5.5 rpm are too slow?",
        working=(
            "A notch of the gate is half an rpm: 9, 10 and 11 notches are 4.5, 5 and 5.5 rpm.",
            "Each wheel looks down, so about the upward axis it turns the other way.",
            "Only 4.5 is below 5.",
            "The wheels give 16 x 4.5 = 72, 80 and 88; the augers ask for 4 x 4.5 = 18, 20 and 22.",
        ),
        blocks=[
            placed
            for notches, (_, x) in gates.items()
            for placed in _gate((x, 65, 4), notches, "trunnel_auger")
        ],
        networks=[
            Network(
                anchor=(x, 64, 4),
                state="turning",
                parts=2,
                capacity=str(8 * notches),
                demand=str(2 * notches),
                speeds={(x, 64, 4): f"-{rpm}"},
            )
            for notches, (rpm, x) in gates.items()
        ],
        faults=(Fault("too-slow", (2, 64, 4), 1, "9/2", "5", level="warning"),),
    )


def least_speed_at_a_cut() -> Case:
    return Case(
        name="a-slow-machine-beside-a-damaged-chunk-is-a-note",
        question="A gear above a slow auger reaches into a chunk that cannot be read. What now?",
        working=(
            "The gate's 9 notches make 4.5 rpm, and so do two bull gears of 20 teeth.",
            "The upright gear is one step down and one south: sign -1 x 1, so -4.5 rpm upward.",
            "Each gear's rim reaches four cells at x = 16, in the damaged chunk: a faster mover "
            "may be there, so it is a note.",
        ),
        blocks=(
            part((15, 64, 6), "sluice_wheel[facing=south]", Gate={"Notches": 9}),
            part((15, 64, 7), "bull_gear_20[axis=z]"),
            part((15, 63, 8), "bull_gear_20[axis=y]"),
            part((15, 62, 8), "trunnel_auger"),
        ),
        broken=DAMAGED,
        networks=(Network((15, 62, 8), "turning", 4, "72", "18", {(15, 62, 8): "-9/2"}, cut=True),),
        faults=(
            Fault("unread-chunks", None, level="warning"),
            Fault("cut-network", (15, 63, 8), 8, level="warning"),
            Fault(
                "too-slow",
                (15, 62, 8),
                measured="9/2",
                limit="5",
                level="note",
                certain="as far as read",
            ),
        ),
    )


def own_limit() -> Case:
    gates = {127: ("127/2", 2), 128: ("64", 6), 129: ("129/2", 10)}
    return Case(
        name="the-limit-of-a-type-itself-is-allowed",
        question="A kettle stirrer may turn at 64 rpm. Which of 63.5, 64 and 64.5 are too fast?",
        working=(
            "A notch of the gate is half an rpm: 127, 128 and 129 notches.",
            "Only 64.5 is above 64; that other parts may turn at 256 does not matter.",
            "The wheels give 16 x 63.5 = 1016, 1024 and 1032; the stirrers ask for 2 x 63.5 = 127, "
            "128 and 129.",
        ),
        blocks=[
            placed
            for notches, (_, x) in gates.items()
            for placed in _gate((x, 65, 4), notches, "kettle_stirrer[mount=hanging]")
        ],
        networks=[
            Network(
                anchor=(x, 64, 4),
                state="turning",
                parts=2,
                capacity=str(8 * notches),
                demand=str(notches),
                speeds={(x, 64, 4): f"-{rpm}"},
            )
            for notches, (rpm, x) in gates.items()
        ],
        faults=(Fault("over-speed", (10, 64, 4), 1, "129/2", "64"),),
    )


def own_limit_at_a_cut() -> Case:
    return Case(
        name="over-speed-beside-a-damaged-chunk-is-a-warning",
        question="A fast sheave's shaft leads into a chunk that cannot be read. Is it too fast?",
        working=(
            "The gate's 257 notches make 128.5 rpm, and a sheave may turn at 128.",
            "A mover behind the damage could change the speed, so it is a warning.",
            "16 x 128.5 = 2056.",
        ),
        blocks=(
            part((14, 64, 8), "sluice_wheel[facing=east]", Gate={"Notches": 257}),
            part((15, 64, 8), "rope_sheave[axis=x]"),
        ),
        broken=DAMAGED,
        networks=(
            Network((14, 64, 8), "turning", 2, "2056", "0", {(15, 64, 8): "257/2"}, cut=True),
        ),
        faults=(
            Fault("unread-chunks", None, level="warning"),
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault(
                "over-speed",
                (15, 64, 8),
                measured="257/2",
                limit="128",
                level="warning",
                certain="as far as read",
            ),
            Fault("driving-nothing", (14, 64, 8), level="note", certain="as far as read"),
        ),
    )


def cases() -> list[Case]:
    return [
        headroom(),
        headroom_at_a_cut(),
        least_speed(),
        least_speed_at_a_cut(),
        own_limit(),
        own_limit_at_a_cut(),
    ]
