"""Cases of size: networks that are heavy, and speeds that spread too far to be written."""

from __future__ import annotations

from analyzer.demo.content import Placement, place
from tests.cases.case import At, Case, Fault, Network, drives_nothing

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
    return [heavy_parts(), heavy_chunks(), heavy_switches(), out_of_range()]
