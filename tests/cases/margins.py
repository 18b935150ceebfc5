"""Cases of warnings with a limit: one just below it, one exactly on it, one above."""

from __future__ import annotations

from fractions import Fraction

from analyzer.demo.content import Placement, place
from analyzer.demo.manner import Compression
from analyzer.demo.parts import part
from analyzer.demo.region import slot_bytes
from tests.cases.case import At, Case, Fault, Network, drives_nothing, thin

DAMAGED = {(1, 0): slot_bytes(b"this is no chunk", Compression.NONE)}


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


_SMALL = """[catalogue]
format = 1
title = "A small yard"
namespace = "quayworks"
version = "1.0"
licence = "MIT"

[catalogue.warnings]
heavy_parts = 4
heavy_chunks = 2
heavy_switches = 2

[parts."quayworks:shaft"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}

[parts."quayworks:clutch"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
switch = {kind = "clutch", opens = ["front"], on = {property = "lever", values = {in = 1, out = 0}}}
"""


def _lengths(at: At, *states: str) -> list[Placement]:
    """Parts of the small yard in a row eastward."""
    x, y, z = at
    return [place((x + east, y, z), f"quayworks:{state}") for east, state in enumerate(states)]


def _idle(anchor: At, parts: int, **more: bool) -> Network:
    return Network(anchor, "idle", parts, "0", "0", {}, **more)


def heavy_parts() -> Case:
    return Case(
        name="a-network-of-more-parts-than-the-limit-is-heavy",
        question="The catalogue calls a network of more than 4 parts heavy. Which of 3, 4, 5 are?",
        working=("Only 5 is above 4. All of them lie in one chunk.",),
        blocks=[
            placed
            for count, z in ((3, 2), (4, 5), (5, 8))
            for placed in _lengths((2, 64, z), *["shaft[axis=x]"] * count)
        ],
        networks=[_idle((2, 64, z), count) for count, z in ((3, 2), (4, 5), (5, 8))],
        faults=(Fault("heavy-network", (2, 64, 8), 1, "5", "4", level="warning"),),
        catalogue=_SMALL,
    )


def heavy_chunks() -> Case:
    many = _SMALL.replace("heavy_parts = 4", "heavy_parts = 100")
    return Case(
        name="a-network-across-more-chunks-than-the-limit-is-heavy",
        question="The catalogue calls a network across more than 2 chunks heavy. Which are?",
        working=(
            "From x = 18 to 29 all 12 parts lie in the chunk from 16 to 31: 1 chunk.",
            "From x = 18 to 45 the 28 parts lie in 2 chunks, up to 47.",
            "From x = 14 to 33 the 20 parts lie in 3: up to 15, 16 to 31, and from 32 on.",
            "Only 3 is above 2. The middle one is the most crowded: 16 of its parts.",
        ),
        blocks=[
            *_lengths((18, 64, 2), *["shaft[axis=x]"] * 12),
            *_lengths((18, 64, 5), *["shaft[axis=x]"] * 28),
            *_lengths((14, 64, 8), *["shaft[axis=x]"] * 20),
        ],
        networks=[_idle((18, 64, 2), 12), _idle((18, 64, 5), 28), _idle((14, 64, 8), 20)],
        faults=(Fault("heavy-network", (16, 64, 8), 3, "3", "2", level="warning"),),
        catalogue=many,
    )


def heavy_switches() -> Case:
    clutch = "clutch[axis=x,lever=in]"
    return Case(
        name="a-network-with-more-switches-than-the-limit-is-heavy",
        question="The catalogue calls a network of more than 2 switches heavy. Which are?",
        working=(
            "Networks of 4 parts each, with 1, 2 and 3 clutches that are in. Only 3 is above 2.",
            "A fourth row has 3 clutches, of which the second is out: the network ends there, and "
            "neither half has more than 2.",
        ),
        blocks=[
            *_lengths((2, 64, 2), clutch, "shaft[axis=x]", "shaft[axis=x]", "shaft[axis=x]"),
            *_lengths((2, 64, 5), clutch, clutch, "shaft[axis=x]", "shaft[axis=x]"),
            *_lengths((2, 64, 8), clutch, clutch, clutch, "shaft[axis=x]"),
            *_lengths((2, 64, 11), clutch, "clutch[axis=x,lever=out]", clutch, "shaft[axis=x]"),
        ],
        networks=[
            *(_idle((2, 64, z), 4) for z in (2, 5, 8)),
            _idle((2, 64, 11), 2),
            _idle((4, 64, 11), 2),
        ],
        faults=(Fault("heavy-network", (2, 64, 8), 1, "3", "2", level="warning"),),
        catalogue=_SMALL,
    )


_STEEP = """[catalogue]
format = 1
title = "Steep gearing"
namespace = "quayworks"
version = "1.0"
licence = "MIT"

[parts."quayworks:wheel"]
role = "mover"
entity = false
pose = {facing = "facing"}
ends = {front = 1}
rated_rpm = 1
torque = 1

[parts."quayworks:step_up"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {back = -1, front = {property = "by", values = {least = 65535, even = 65536, most = 65537}}}
"""


def out_of_range() -> Case:
    towers = {"least": 2, "even": 6, "most": 10}
    top = {"least": str(65535 * 65536**15), "even": str(2**256)}
    return Case(
        name="a-spread-of-two-to-the-256th-is-in-range",
        question="Speeds of a network may spread over 2^256. What is the last that is in range?",
        working=(
            "Above a wheel of 1 rpm stand 17 gear boxes; each turns the next 65536 = 2^16 times as "
            "fast, the second last of a tower 65535, 65536 or 65537 times.",
            "After 16 steps the uppermost is 65535 x 2^240, 2^256 or 65537 x 2^240 times as fast.",
            "Only the last one is beyond 2^256; in doublings, rounded up, it is 257.",
            "There the speeds are too far apart to be written; that nothing contradicts is known.",
        ),
        blocks=[
            placed
            for by, x in towers.items()
            for placed in (
                place((x, 60, 4), "quayworks:wheel[facing=up]"),
                *(place((x, y, 4), "quayworks:step_up[axis=y,by=even]") for y in range(61, 76)),
                place((x, 76, 4), f"quayworks:step_up[axis=y,by={by}]"),
                place((x, 77, 4), "quayworks:step_up[axis=y,by=even]"),
            )
        ],
        networks=[
            Network(
                (x, 60, 4),
                "turning",
                18,
                "1",
                "0",
                {(x, 61, 4): "1", (x, 77, 4): top[by]} if by in top else {},
            )
            for by, x in towers.items()
        ],
        faults=(
            *(drives_nothing((x, 60, 4)) for x in towers.values()),
            Fault("out-of-range", (10, 77, 4), 18, "257", "256"),
        ),
        catalogue=_STEEP,
    )


def cases() -> list[Case]:
    return [
        headroom(),
        headroom_at_a_cut(),
        least_speed(),
        least_speed_at_a_cut(),
        own_limit(),
        own_limit_at_a_cut(),
        heavy_parts(),
        heavy_chunks(),
        heavy_switches(),
        out_of_range(),
    ]
