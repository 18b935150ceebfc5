"""Cases of speeds that the saving program recorded: which agree, and what they say together."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from nbtlib import Float

from analyzer.demo.content import Placement
from analyzer.demo.parts import part
from tests.cases.case import DAMAGED, Case, Fault, Network


def _stale(at: tuple[int, int, int], recorded: str, solved: str, count: int = 1) -> Fault:
    return Fault("stale-record", at, count, recorded, solved, level="warning")


def floats() -> Case:
    steps = {1: 2, 2: 5, 3: 8}
    return Case(
        name="a-record-two-steps-off-agrees",
        question="Shafts at 8 rpm recorded a float 1, 2 and 3 steps above. Which are stale?",
        working=(
            "Floats of 4 bytes from 8 to 16 lie 2^-20 apart, since they have 24 binary digits.",
            "1 and 2 steps above 8 agree, 3 do not.",
            "8 + 3 x 2^-20 = 8.00000286; the shortest decimal that reads back as it is 8.000003.",
        ),
        blocks=[
            placed
            for count, z in steps.items()
            for placed in (
                part((2, 64, z), "tide_wheel[facing=east]"),
                part((3, 64, z), "line_shaft[axis=x]", Rpm=Float(8 + count * 2.0**-20)),
                part((4, 64, z), "strand_layer[facing=east]"),
            )
        ],
        networks=[
            Network((2, 64, z), "turning", 3, "256", "64", {(3, 64, z): "8"})
            for z in steps.values()
        ],
        faults=(_stale((3, 64, 8), "8000003/1000000", "8"),),
        source="IEEE 754, binary32 has 24 binary digits; that two steps agree is a convention",
    )


def integers() -> Case:
    rows = {"5.04": ("126/25", 2), "5.05": ("101/20", 5), "5.06": ("253/50", 8)}
    return Case(
        name="a-record-in-tenths-agrees-to-half-of-one",
        question="Layers at 5.04, 5.05 and 5.06 rpm recorded 50 whole tenths. Which are stale?",
        working=(
            "They turn at 50.4, 50.5 and 50.6 tenths. Half a tenth off still agrees.",
            "The last one is 0.6 tenths off: recorded 5, solved 5.06.",
        ),
        blocks=[
            placed
            for rpm, (_, z) in rows.items()
            for placed in (
                part((2, 64, z), "tide_wheel[facing=east]"),
                part((3, 64, z), "flyball_governor[facing=east]", Balls={"Rpm": float(rpm)}),
                part((4, 64, z), "strand_layer[facing=east]", Counter={"Tenths": 50}),
            )
        ],
        networks=[
            Network((2, 64, z), "turning", 3, "256", demand, {(4, 64, z): rpm})
            for demand, (rpm, z) in zip(("1008/25", "202/5", "1012/25"), rows.values(), strict=True)
        ],
        faults=(_stale((4, 64, 8), "5", "253/50"),),
        source="A convention of this project (docs/findings.md, stale-record)",
    )


def signs() -> Case:
    return Case(
        name="a-record-is-signed-as-the-catalogue-says",
        question="Wheels that face west recorded 8 and -8 about their front. Which is stale?",
        working=(
            "A tide wheel's record is about its front: 8 for both, which is -8 about east.",
            "The line shaft's is about the positive axis, east: -8.",
            "The second wheel recorded -8 about its front, 8 about east, and turns at -8.",
        ),
        blocks=(
            part((2, 64, 2), "strand_layer[facing=east]", Counter={"Tenths": -80}),
            part((3, 64, 2), "line_shaft[axis=x]", Rpm=-8),
            part((4, 64, 2), "tide_wheel[facing=west]", Rpm=8),
            part((2, 64, 5), "strand_layer[facing=east]"),
            part((3, 64, 5), "tide_wheel[facing=west]", Rpm=-8),
        ),
        networks=(
            Network((2, 64, 2), "turning", 3, "256", "64", {(2, 64, 2): "-8", (4, 64, 2): "-8"}),
            Network((2, 64, 5), "turning", 2, "256", "64", {(2, 64, 5): "-8"}),
        ),
        faults=(_stale((3, 64, 5), "8", "-8"),),
    )


def standing() -> Case:
    return Case(
        name="in-a-network-that-stands-still-zero-agrees-too",
        question="Shafts of overloaded and idle rows recorded 0, 8 and 7. Which are stale?",
        working=(
            "An overloaded row stands still, and would turn at 8: 0 and 8 agree there, 7 does not.",
            "An idle row stands still: only 0 agrees.",
            "32 x 8 = 256 against 5 x 64 = 320.",
        ),
        blocks=(
            part((2, 64, 2), "tide_wheel[facing=east]"),
            part((3, 64, 2), "line_shaft[axis=x]", Rpm=0),
            part((4, 64, 2), "line_shaft[axis=x]", Rpm=8),
            part((5, 64, 2), "line_shaft[axis=x]", Rpm=7),
            *(part((6 + east, 64, 2), "strand_layer[facing=east]") for east in range(5)),
            part((2, 64, 5), "line_shaft[axis=x]", Rpm=0),
            part((2, 64, 8), "line_shaft[axis=x]", Rpm=8),
        ),
        networks=(
            Network((2, 64, 2), "overloaded", 9, "256", "320", {(3, 64, 2): "8"}),
            Network((2, 64, 5), "idle", 1, "0", "0", {}),
            Network((2, 64, 8), "idle", 1, "0", "0", {}),
        ),
        faults=(
            Fault("overload", (6, 64, 2), 5, "320", "256"),
            _stale((5, 64, 2), "7", "8"),
            _stale((2, 64, 8), "8", "0"),
        ),
    )


def stale_at_a_cut() -> Case:
    return Case(
        name="a-stale-record-beside-a-damaged-chunk-is-a-note",
        question="A shaft recorded 12 rpm and leads into a chunk that cannot be read. Is it stale?",
        working=("It is solved at 8; a faster mover may stand behind the damage: a note.",),
        blocks=(
            part((13, 64, 8), "tide_wheel[facing=east]"),
            part((14, 64, 8), "strand_layer[facing=east]"),
            part((15, 64, 8), "line_shaft[axis=x]", Rpm=12),
        ),
        broken=DAMAGED,
        networks=(Network((13, 64, 8), "turning", 3, "256", "64", {(15, 64, 8): "8"}, cut=True),),
        faults=(
            Fault("unread-chunks", None, level="warning"),
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault(
                "stale-record",
                (15, 64, 8),
                measured="12",
                limit="8",
                level="note",
                certain="as far as read",
            ),
        ),
    )


def _stack(recorded: Sequence[float]) -> list[Placement]:
    """A wheel that looks up, a layer below it, and line shafts above it with their records."""
    return [
        part((4, 59, 4), "strand_layer[facing=up]"),
        part((4, 60, 4), "tide_wheel[facing=up]"),
        *(part((4, 61 + up, 4), "line_shaft[axis=y]", Rpm=rpm) for up, rpm in enumerate(recorded)),
    ]


def _trial(name: str, recorded: Sequence[float], verdict: str, faults: Sequence[Fault]) -> Case:
    pairs = list(pairwise(recorded))
    agreed = sum(low == high for low, high in pairs)
    return Case(
        name=name,
        question=f"Of {len(pairs)} pairs of shafts in a stack {agreed} recorded equal speeds. Now?",
        working=(
            "By the catalogue two shafts end to end turn alike, here at 8 rpm.",
            f"{len(recorded)} shafts above each other are {len(pairs)} pairs; "
            f"{len(pairs) - agreed} of them, {agreed} x 100 / {len(pairs)} = "
            f"{agreed * 100 / len(pairs):g} % agree: {verdict}",
        ),
        blocks=_stack(recorded),
        networks=(
            Network((4, 59, 4), "turning", 2 + len(recorded), "256", "64", {(4, 61, 4): "8"}),
        ),
        faults=faults,
        source="A convention of this project (docs/findings.md, catalogue-mismatch)",
    )


def trials() -> list[Case]:
    one_odd = [8.0] * 10 + [7.0] + [8.0] * 10
    two_odd = [*one_odd[:-1], 7.0]
    alternating = [8.0, 7.0] * 10
    return [
        _trial(
            "nine-of-ten-pairs-that-agree-do-not-belie-a-catalogue",
            one_odd,
            "just enough. The one shaft that differs has a stale record.",
            [_stale((4, 71, 4), "7", "8")],
        ),
        _trial(
            "fewer-than-nine-of-ten-pairs-that-agree-belie-a-catalogue",
            two_odd,
            "too few. That the catalogue is wrong explains the stale records.",
            [Fault("catalogue-mismatch", None, 3, level="warning")],
        ),
        _trial(
            "nineteen-pairs-belie-no-catalogue",
            alternating,
            "none, and yet 19 pairs are too few to judge by. Every second record is stale.",
            [_stale((4, 62, 4), "7", "8", 10)],
        ),
    ]


def cases() -> list[Case]:
    return [floats(), integers(), signs(), standing(), stale_at_a_cut(), *trials()]
