"""Cases of ropes: what they couple, and where they lead to nothing."""

from __future__ import annotations

from dataclasses import replace

from nbtlib import Long

from analyzer.demo.content import Placement
from analyzer.demo.parts import packed, part
from tests.cases.case import DAMAGED, PLAIN, At, Case, Fault, Network, drives_nothing

FORMAT = "docs/save-format.md"
BELTS = "Equal belt speeds, a crossed belt reverses; common practice, no source"


def named(at: At) -> dict[str, dict[str, int]]:
    """What a rope sheave keeps if its rope leads to a position."""
    return {"LeadsTo": dict(zip("XYZ", at, strict=True))}


def _small_drives_great() -> tuple[Placement, ...]:
    """A wheel with a small sheave, and four above it a great one with a strand layer."""
    return (
        part((2, 64, 2), "tide_wheel[facing=east]"),
        part((3, 64, 2), "rope_sheave[axis=x]", **named((3, 68, 2))),
        part((3, 68, 2), "great_sheave[axis=x]"),
        part((4, 68, 2), "strand_layer[facing=east]"),
    )


def open_rope() -> Case:
    return Case(
        name="an-open-rope-keeps-the-sense",
        question="A sheave of diameter 2 at 8 rpm drives one of diameter 3. How does it turn?",
        working=(
            "The rope runs at one speed: 2 x 8 = 3 x 16/3, both the same way.",
            "The layer asks for 8 x 16/3 = 128/3.",
        ),
        blocks=_small_drives_great(),
        networks=(
            Network(
                (2, 64, 2),
                "turning",
                4,
                "256",
                "128/3",
                {(3, 64, 2): "8", (3, 68, 2): "16/3", (4, 68, 2): "16/3"},
            ),
        ),
        source=BELTS,
    )


def both_keep_it() -> Case:
    small, *others = _small_drives_great()[1:]
    great = part((3, 68, 2), "great_sheave[axis=x]", Rope={"Steps": [0, -4, 0]})
    return Case(
        name="a-rope-that-both-sheaves-keep-is-one-rope",
        question="Both sheaves keep where the rope leads. Is that a loop of two ropes?",
        working=(
            "The small sheave names a place, the great one four steps down: the same rope.",
            "The layer asks for 8 x 16/3 = 128/3 as with one of them.",
        ),
        blocks=(_small_drives_great()[0], small, great, *others[1:]),
        networks=(Network((2, 64, 2), "turning", 4, "256", "128/3", {(3, 68, 2): "16/3"}),),
        source=BELTS,
    )


def crossed_rope() -> Case:
    return Case(
        name="a-crossed-rope-reverses",
        question="A crossed rope leads from a sheave of diameter 2 to one of 3. How does it turn?",
        working=(
            "The rope runs at one speed: 2 x 8 = 3 x 16/3, the other way round: -16/3 rpm.",
            "The layer asks for 8 x 16/3 = 128/3.",
        ),
        blocks=(
            part((2, 64, 2), "tide_wheel[facing=east]"),
            part((3, 64, 2), "crossed_sheave[axis=x]", LeadsTo=packed((3, 68, 2))),
            *_small_drives_great()[2:],
        ),
        networks=(Network((2, 64, 2), "turning", 4, "256", "128/3", {(3, 68, 2): "-16/3"}),),
        source=BELTS,
    )


def two_ropes() -> Case:
    return Case(
        name="two-ropes-of-different-sense-between-two-sheaves-lock",
        question="A crossed rope and an open one join the same two sheaves. Do they turn?",
        working=(
            "The lower sheave's rope is crossed: the upper one should turn at -16/3 rpm.",
            "The upper sheave's own rope back is open: it should turn at +16/3.",
            "Only 0 satisfies both: a loop of two parts.",
        ),
        blocks=(
            part((2, 64, 2), "tide_wheel[facing=east]"),
            part((3, 64, 2), "crossed_sheave[axis=x]", LeadsTo=packed((3, 68, 2))),
            part((3, 68, 2), "great_sheave[axis=x]", Rope={"Steps": [0, -4, 0]}),
        ),
        networks=(Network((2, 64, 2), "conflicting", 3, "256", None, {}, conflict="loop"),),
        faults=(Fault("loop-conflict", (3, 64, 2), 2),),
        source=BELTS,
    )


def _packed_before_1_14(at: At) -> Long:
    x, y, z = at
    return Long((x & 0x3FFFFFF) << 38 | (y & 0xFFF) << 26 | z & 0x3FFFFFF)


def _packed_in(data_version: int, name: str, stored: Long, layout: str) -> Case:
    return Case(
        name=name,
        question=f"A rope's end is packed into one number by data version {data_version}. Where?",
        working=(
            layout,
            "It is (3, 68, 9): seven south of the lower sheave and four above it.",
            "A crossed rope from diameter 2 to diameter 2: -8 rpm.",
        ),
        blocks=(
            part((2, 64, 2), "tide_wheel[facing=east]"),
            part((3, 64, 2), "crossed_sheave[axis=x]", LeadsTo=stored),
            part((3, 68, 9), "rope_sheave[axis=x]"),
        ),
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "0", {(3, 64, 2): "8", (3, 68, 9): "-8"}),
        ),
        faults=(drives_nothing((2, 64, 2)),),
        manner=replace(PLAIN, data_version=data_version),
        source=FORMAT,
    )


def packed_positions() -> list[Case]:
    at = (3, 68, 9)
    before, since = (
        "x in bits 38 to 63, y in bits 26 to 37, z in bits 0 to 25.",
        "x in bits 38 to 63, z in bits 12 to 37, y in bits 0 to 11.",
    )
    return [
        _packed_in(1631, "a-packed-rope-saved-by-1-13", _packed_before_1_14(at), before),
        _packed_in(1952, "a-packed-rope-saved-by-1-14", packed(at), since),
    ]


def broken() -> Case:
    sheaves = {
        (2, 64, 2): (2, 64, 2),
        (2, 64, 5): (2, 70, 5),
        (2, 64, 8): (5, 64, 8),
        (2, 64, 11): (5, 64, 11),
    }
    return Case(
        name="ropes-that-lead-to-nothing-they-could-turn",
        question="Ropes lead to their own sheave, to air, to a shaft, and to a sheave across. Now?",
        working=(
            "A rope to the sheave itself, to a place without a part, to a part without a link and "
            "to a sheave about another axis couples nothing: each of the four is broken.",
            "A sheave that keeps nothing is not linked, and nothing is wrong with it.",
        ),
        blocks=(
            *(part(at, "rope_sheave[axis=x]", **named(to)) for at, to in sheaves.items()),
            part((5, 64, 8), "line_shaft[axis=x]"),
            part((5, 64, 11), "rope_sheave[axis=z]"),
        ),
        networks=[
            Network(at, "idle", 1, "0", "0", {}) for at in (*sheaves, (5, 64, 8), (5, 64, 11))
        ],
        faults=[Fault("broken-link", at, level="warning") for at in sheaves],
    )


def into_the_unread() -> Case:
    return Case(
        name="a-rope-into-a-damaged-chunk-is-not-called-broken",
        question="A rope leads into a chunk that cannot be read. Is it broken?",
        working=(
            "What stands at (20, 64, 8) is not known: the network is cut, and nothing is broken.",
            "The layer asks for 64 of 256.",
        ),
        blocks=(
            part((2, 64, 8), "tide_wheel[facing=east]"),
            part((3, 64, 8), "strand_layer[facing=east]"),
            part((4, 64, 8), "rope_sheave[axis=x]", **named((20, 64, 8))),
        ),
        broken=DAMAGED,
        networks=(Network((2, 64, 8), "turning", 3, "256", "64", {(4, 64, 8): "8"}, cut=True),),
        faults=(
            Fault("unread-chunks", None, level="warning"),
            Fault("cut-network", (4, 64, 8), level="warning"),
        ),
    )


def no_position() -> Case:
    return Case(
        name="a-rope-whose-end-is-no-position",
        question="A sheave keeps a text where one of the rope's numbers should be. What is that?",
        working=(
            "There is data, and it is no position: an unusable number, not a broken link.",
            "A coupling may be missing, so the network counts as cut.",
        ),
        blocks=(
            part((2, 64, 2), "tide_wheel[facing=east]"),
            part((3, 64, 2), "strand_layer[facing=east]"),
            part((4, 64, 2), "rope_sheave[axis=x]", LeadsTo={"X": 4, "Y": "aloft", "Z": 2}),
        ),
        networks=(Network((2, 64, 2), "turning", 3, "256", "64", {(4, 64, 2): "8"}, cut=True),),
        faults=(Fault("unusable-number", (4, 64, 2), level="warning"),),
    )


def cases() -> list[Case]:
    return [
        open_rope(),
        both_keep_it(),
        crossed_rope(),
        two_ropes(),
        *packed_positions(),
        broken(),
        into_the_unread(),
        no_position(),
    ]
