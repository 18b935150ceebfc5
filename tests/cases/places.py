"""Cases of where a build stands, and what of it can be read."""

from __future__ import annotations

from dataclasses import replace

from analyzer.demo.manner import Compression, Manner
from analyzer.demo.region import slot_bytes
from tests.cases.case import PLAIN, Case, Fault, Network, thin
from tests.support.sketch import sketch

FORMAT = "docs/save-format.md"


def across_a_border() -> Case:
    return Case(
        name="a-network-across-a-region-border-at-negative-places",
        question="A row of parts crosses from region (-2, -1) to (-1, -1). Is it one network?",
        working=(
            "x = -513 is in chunk -33, region -2; x = -512 is in chunk -32, region -1.",
            "The row has no gap: one network, 256 against 4 x 64 = 256.",
        ),
        blocks=sketch("wheel:e layer:e layer:e layer:e layer:e", at=(-515, -20, -5)),
        networks=(
            Network(
                anchor=(-515, -20, -5),
                state="turning",
                parts=5,
                capacity="256",
                demand="256",
                speeds={(-515, -20, -5): "8", (-512, -20, -5): "8", (-511, -20, -5): "8"},
            ),
        ),
        faults=(thin((-514, -20, -5), 4, "0", "128/5"),),
        source=FORMAT,
    )


def without_a_block_entity() -> Case:
    return Case(
        name="parts-without-a-block-entity-carry-the-turn",
        question="Two lengths of oak shaft keep no data. Do they join the wheel and the layer?",
        working=(
            "The oak shafts stand in the palette alone; they turn at 8 rpm like the rest.",
            "The third length lies apart: a network of its own, without a mover, so idle.",
        ),
        blocks=sketch(
            """
            wheel:e oak:x oak:x layer:e
            .       .     .     .
            oak:z   .     .     .
            """
        ),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=4,
                capacity="256",
                demand="64",
                speeds={(3, 64, 2): "8", (5, 64, 2): "8"},
            ),
            Network((2, 64, 4), "idle", 1, "0", "0", {}),
        ),
    )


def cut_by_nothing() -> Case:
    return Case(
        name="a-shaft-into-a-chunk-that-was-never-made",
        question="The last shaft of a row points into a chunk that was never made. What is known?",
        working=(
            "x = 15 is the last block of its chunk; the chunk east of it is absent: cut.",
            "What was read turns: 256 against 64.",
        ),
        blocks=sketch("wheel:e layer:e shaft:x", at=(13, 64, 8)),
        networks=(Network((13, 64, 8), "turning", 3, "256", "64", {(15, 64, 8): "8"}, cut=True),),
        faults=(Fault("cut-network", (15, 64, 8), level="note"),),
    )


def cut_by_damage() -> Case:
    return Case(
        name="an-overload-beside-a-damaged-chunk-is-a-note",
        question="An overloaded row points into a chunk that cannot be read. Is it overloaded?",
        working=(
            "Five layers ask for 320 of 256: overloaded, as far as read.",
            "A mover behind the damage might make it good, so it is a note.",
        ),
        blocks=sketch("wheel:e " + "layer:e " * 5, at=(10, 64, 8)),
        broken={(1, 0): slot_bytes(b"this is no chunk", Compression.NONE)},
        networks=(
            Network((10, 64, 8), "overloaded", 6, "256", "320", {(15, 64, 8): "8"}, cut=True),
        ),
        faults=(
            Fault("unread-chunks", None, level="warning"),
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault("overload", (11, 64, 8), 5, "320", "256", level="note", certain="as far as read"),
        ),
    )


def _saved_by(version: str, manner: Manner) -> Case:
    return Case(
        name=f"a-row-saved-by-{version}",
        question=f"Is a row of parts found in a save of data version {manner.data_version}?",
        working=("The same row as in four-machines-fill-one-mover: 256 against 4 x 64 = 256.",),
        blocks=sketch("wheel:e layer:e layer:e layer:e layer:e"),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=5,
                capacity="256",
                demand="256",
                speeds={(2, 64, 2): "8", (6, 64, 2): "8"},
            ),
        ),
        faults=(thin((3, 64, 2), 4, "0", "128/5"),),
        manner=manner,
        source=FORMAT,
    )


def newer_versions() -> list[Case]:
    return [
        _saved_by("the-newest-version-known", replace(PLAIN, data_version=5011)),
        replace(
            _saved_by("a-version-newer-than-known", replace(PLAIN, data_version=5012)),
            faults=(
                thin((3, 64, 2), 4, "0", "128/5"),
                Fault("newer-version", None, 1, "5012", "5011", level="note"),
            ),
        ),
    ]


def cases() -> list[Case]:
    return [
        across_a_border(),
        without_a_block_entity(),
        cut_by_nothing(),
        cut_by_damage(),
        _saved_by("1-13", replace(PLAIN, data_version=1631)),
        _saved_by("1-16", replace(PLAIN, data_version=2586)),
        *newer_versions(),
        _saved_by("26-1", replace(PLAIN, data_version=4790, external=True)),
    ]
