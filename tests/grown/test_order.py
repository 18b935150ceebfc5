"""What does not matter to a mechanism does not show: order, place, and who reads it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from analyzer.catalogue.load import load_catalogue_text
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from tests.grown.harvest import Grown, grown
from tests.grown.saves import write_build
from tests.grown.told import EVERY_PLACE, judged, told
from tests.grown.turn import STILL, expected, moved, spelled_out
from tests.judge.plain import judge

SECTOR = 4096


def _audit(one: Grown, folder: Path) -> Audit:
    return audit_save(folder, catalogues=one.catalogues, policy=EVERY_PLACE)


def _samples(first: int) -> Iterator[Grown]:
    return (grown(seed) for seed in range(first, first + 30))


def test_the_order_of_blocks_and_chunks_in_the_files_changes_nothing(tmp_path: Path) -> None:
    rng = random.Random(1)
    files = 0
    for one in _samples(500):
        plain, shuffled = tmp_path / f"{one.seed}", tmp_path / f"{one.seed}_shuffled"
        write_build(plain, one.build, data_version=one.view.data_version)
        write_build(
            shuffled, rng.sample(one.build, len(one.build)), data_version=one.view.data_version
        )
        for file in sorted(shuffled.rglob("r.*.mca")):
            _shuffle_chunks(rng, file)
            files += 1
        first, second = _audit(one, plain), _audit(one, shuffled)
        assert told(first) == told(second)
        assert first.findings == second.findings
    assert files > 30


def _shuffle_chunks(rng: random.Random, file: Path) -> None:
    """Put the chunks of a region file in another order within the file."""
    data = file.read_bytes()
    header = bytearray(data[: 2 * SECTOR])
    slots = [slot for slot in range(1024) if any(header[4 * slot : 4 * slot + 4])]
    rng.shuffle(slots)
    body = bytearray()
    for slot in slots:
        start = int.from_bytes(header[4 * slot : 4 * slot + 3], "big") * SECTOR
        chunk = data[start : start + header[4 * slot + 3] * SECTOR]
        header[4 * slot : 4 * slot + 3] = (2 + len(body) // SECTOR).to_bytes(3, "big")
        body += chunk.ljust(-(-len(chunk) // SECTOR) * SECTOR, b"\0")
    file.write_bytes(bytes(header) + bytes(body))


@pytest.mark.parametrize("shift", [(1, -7, 12), (-531, 3, 16), (512, 16, -1024)])
def test_shifting_a_build_changes_only_its_coordinates(
    shift: tuple[int, int, int], tmp_path: Path
) -> None:
    for one in _samples(600 + shift[0] % 100):
        still = spelled_out(one.recipe.catalogue, one.build, one.view.data_version)
        before = judge([still.catalogue], still.build)
        there = moved(still, STILL, shift)
        folder = tmp_path / f"{one.seed}"
        write_build(folder, there.build, empty=there.aims())
        catalogues = load_catalogue_text(there.text, "moved")
        audit = audit_save(folder, catalogues=catalogues, policy=EVERY_PLACE)
        assert told(audit) == expected(judged(before), still.parts(), STILL, shift)


def test_threads_read_the_same_as_one_after_the_other(tmp_path: Path) -> None:
    with ThreadPoolExecutor(3) as threads:
        for one in _samples(800):
            folder = tmp_path / f"{one.seed}"
            write_build(folder, one.build, data_version=one.view.data_version, gaps=one.gaps)
            alone = _audit(one, folder)
            together = audit_save(
                folder, catalogues=one.catalogues, policy=EVERY_PLACE, executor=threads
            )
            assert told(alone) == told(together)
            assert alone.findings == together.findings
