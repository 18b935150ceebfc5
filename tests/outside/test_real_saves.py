"""Surveys and scans of real saves of 1.8 to 26.1 are what a second reading of them gives."""

from __future__ import annotations

import csv
import io
from collections import Counter
from functools import cache
from typing import Any

import pytest

from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import Scan, SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.outside.judged_regions import SAVES, WORLDS, inventory, needs_worlds, survey_document
from tests.outside.judged_saves import REAL, judged
from tests.support.check import Check, checked
from tests.support.command import lineshaft

SUBJECT = "Real saves"
WHY = "counts, positions and texts"
INVENTORY = Check(
    SUBJECT,
    "REAL1",
    f"every block entity of {len(SAVES)} saves: position, id, block and properties; ids in chunks"
    " before 1.13",
    "the same rows, more than 600 in all, as values, as CSV and counted in JSON",
    REAL,
    why=WHY,
)
STATUSES = Check(
    SUBJECT,
    "REAL2",
    "how each chunk of these saves ends, and the data versions met",
    "as many finished, unfinished and old chunks, none unreadable",
    REAL,
    why=WHY,
)
SCANS = Check(
    SUBJECT,
    "REAL3",
    "scans of these saves for every other id that they hold, sifted and with every byte read",
    "the same candidates and the same counts of what is left over; both ways, the same numbers read"
    " from what they store",
    REAL,
    why=WHY,
)
pytestmark = needs_worlds


@cache
def scanned(save: str, *, every_byte: bool) -> Scan:
    ids = {row[1] for row in judged(save).rows}
    # Every other id is wanted, so that some are kept and some are counted as unknown.
    wanted = dict.fromkeys(sorted(ids)[::2], (("Items", 0, "Count"), ("keepPacked",)))
    return scan_save(locate_save(WORLDS / save), Wanted(wanted, every_byte=every_byte))


@checked(INVENTORY)
def test_the_real_saves_hold_enough_to_judge_by() -> None:
    rows = {row for save in SAVES for row in judged(save).rows}
    assert len(rows) > 600
    assert len({row[1] for row in rows}) > 8


@checked(INVENTORY)
@pytest.mark.parametrize("save", SAVES)
def test_the_inventory_agrees_with_the_judge_in_every_block_entity(save: str) -> None:
    found = inventory(save)
    rows = sorted(
        (tuple(row.at), row.id, found.states[row.state].name, found.states[row.state].properties)
        for row in found.rows
    )
    assert rows == judged(save).rows
    assert dict(found.older) == judged(save).older


@checked(INVENTORY)
@pytest.mark.parametrize("save", SAVES)
def test_the_surveys_list_agrees_with_the_judge_row_by_row(save: str) -> None:
    done = lineshaft("survey", WORLDS / save, "--list", encoding="utf-8")
    assert done.status == 0
    rows = sorted(
        (
            (int(row["x"]), int(row["y"]), int(row["z"])),
            row["id"],
            row["block"],
            tuple(tuple(pair.split("=", 1)) for pair in filter(None, row["properties"].split(";"))),
        )
        for row in csv.DictReader(io.StringIO(done.out))
    )
    assert rows == judged(save).rows


@checked(INVENTORY)
@pytest.mark.parametrize("save", SAVES)
def test_the_surveys_document_agrees_with_the_judge_in_counts_and_properties(save: str) -> None:
    found = {
        (entity["id"], name): (
            block["count"],
            {key: set(values) for key, values in block["properties"].items()},
        )
        for entity in survey_document(save)["entities"]
        for name, block in entity["blocks"].items()
    }
    expected: dict[tuple[str, str], tuple[int, dict[str, set[str]]]] = {}
    for _, entity, name, properties in judged(save).rows:
        count, values = expected.get((entity, name), (0, {}))
        for key, value in properties:
            values.setdefault(key, set()).add(value)
        expected[entity, name] = (count + 1, values)
    assert found == expected


@checked(STATUSES)
@pytest.mark.parametrize("save", SAVES)
def test_every_chunk_ends_as_the_judge_says(save: str) -> None:
    counts = inventory(save).coverage.counts()
    expected = judged(save).statuses
    assert counts[SlotStatus.READ] == expected["finished"]
    assert counts[SlotStatus.UNFINISHED] == expected["unfinished"]
    assert counts[SlotStatus.OLD] == expected["old"]
    assert counts[SlotStatus.UNREADABLE] == counts[SlotStatus.SIFTED] == 0
    assert inventory(save).coverage.faults == ()
    assert set(inventory(save).facts.data_versions) == judged(save).data_versions


@checked(SCANS)
@pytest.mark.parametrize("save", SAVES)
def test_sifting_finds_what_reading_every_byte_finds(save: str) -> None:
    sifted, whole = scanned(save, every_byte=False), scanned(save, every_byte=True)
    assert sifted.leftovers == whole.leftovers
    assert candidates(sifted) == candidates(whole)
    counts = sifted.coverage.counts()
    assert counts[SlotStatus.ABSENT] == whole.coverage.counts()[SlotStatus.ABSENT]
    assert counts[SlotStatus.UNREADABLE] == 0


@checked(SCANS)
@pytest.mark.parametrize("save", SAVES)
def test_the_scan_agrees_with_the_judge(save: str) -> None:
    scan, judge = scanned(save, every_byte=False), judged(save)
    wanted = set(scan.candidates.entities)
    assert [row[:4] for row in candidates(scan)] == [row for row in judge.rows if row[1] in wanted]
    unknown = Counter(row[1] for row in judge.rows if row[1] not in wanted)
    unfinished = judge.unfinished
    unknown.update({name: n for name, n in unfinished.items() if name not in wanted})
    assert dict(scan.leftovers.unknown) == unknown
    assert scan.leftovers.unfinished == sum(unfinished[name] for name in wanted)


def candidates(scan: Scan) -> list[tuple[Any, ...]]:
    table = scan.candidates
    readings: dict[int, list[tuple[Any, ...]]] = {}
    for row, path, tag, integer in zip(
        table.readings.row.tolist(),
        table.readings.path.tolist(),
        table.readings.tag.tolist(),
        table.readings.integer.tolist(),
        strict=True,
    ):
        readings.setdefault(row, []).append((path, tag, integer))
    return sorted(
        (
            tuple(xyz),
            table.entities[table.entity[row]],
            table.states[table.state[row]].name,
            table.states[table.state[row]].properties,
            readings.get(row, []),
        )
        for row, xyz in enumerate(table.xyz.tolist())
    )
