"""What was written while a scan ran is marked; what was written before it is not."""

from __future__ import annotations

import json
import os
import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from analyzer import audit_save
from analyzer.base.place import Chunk
from analyzer.catalogue.load import load_catalogue_text
from analyzer.findings.audit import Audit
from analyzer.pipeline.cache import Cache
from analyzer.report.audit_json import iter_audit_json
from analyzer.report.audit_text import iter_audit_text
from analyzer.save.files import file_state, watch
from analyzer.save.files.locate import locate_save
from analyzer.save.files.region import SECTOR_BYTES
from analyzer.save.files.watch import written_meanwhile
from analyzer.save.reading.progress import Progress
from tests.damage.damage import CATALOGUE, REST_SLOT, SHAFT, WHEEL, drive
from tests.save.chunks import region, stored

CATALOGUES = load_catalogue_text(CATALOGUE, "slipway")
# Chunk (0, 0) has a wheel whose shaft points into (1, 0), where nothing was ever made; (5, 5) has
# another, by itself.
SAVED = region(
    {0: stored(drive(0, {14: WHEEL, 15: SHAFT})), REST_SLOT: stored(drive(5, {85: WHEEL}))}
)
REGION = "r.0.0.mca"


@pytest.fixture(params=["fresh", "old"])
def save(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A region folder that was written just now, or counts as written long ago."""
    home = tmp_path / "region"
    home.mkdir()
    (home / REGION).write_bytes(SAVED)
    if request.param == "old":
        monkeypatch.setattr(watch, "SETTLED_NS", -(10**18))
        monkeypatch.setattr(file_state, "SETTLED_NS", -(10**18))
    return home


def audited(home: Path, meanwhile: Callable[[Path], None], **options: object) -> Audit:
    """Audit a save to which something happens before its last region is done."""

    def act(progress: Progress) -> None:
        if progress.regions_done == 0:
            meanwhile(home / REGION)

    return audit_save(home, catalogues=CATALOGUES, progress=act, **options)  # type: ignore[arg-type]


def saved_again(slot: int) -> Callable[[Path], None]:
    """Return what writes one chunk elsewhere in the file, as the game does."""

    def act(path: Path) -> None:
        data = bytearray(path.read_bytes())
        (location,) = struct.unpack_from(">I", data, 4 * slot)
        start = (location >> 8) * SECTOR_BYTES
        moved = len(data) // SECTOR_BYTES
        data += data[start : start + (location & 255) * SECTOR_BYTES]
        struct.pack_into(">I", data, 4 * slot, moved << 8 | location & 255)
        struct.pack_into(">I", data, SECTOR_BYTES + 4 * slot, 2**32 - 1)
        path.write_bytes(data)

    return act


def nothing(_: Path) -> None:
    """Leave the save as it is."""


def taken(audit: Audit) -> list[str]:
    document = json.loads("".join(iter_audit_json(audit)))
    return [one["id"] for one in document["networks"] if one["taken_while_running"]]


def test_of_a_save_that_nobody_writes_nothing_is_marked(save: Path) -> None:
    audit = audited(save, nothing)
    assert len(audit.networks) == 2
    assert taken(audit) == []
    assert audit.scan.coverage.written_chunks() == frozenset()
    assert "while running" not in "".join(iter_audit_text(audit))


def test_the_network_of_a_chunk_that_was_written_is_marked(save: Path) -> None:
    audit = audited(save, saved_again(0))
    assert audit.scan.coverage.written_chunks() == {(0, Chunk(0, 0))}
    assert len(taken(audit)) == 1
    text = "".join(iter_audit_text(audit))
    assert "1 network taken while running" in text
    assert "turning, cut, while running" in text


def test_a_network_that_points_into_a_chunk_that_was_written_is_marked(save: Path) -> None:
    audit = audited(save, put(1))
    assert (0, Chunk(1, 0)) in audit.scan.coverage.written_chunks()
    assert len(taken(audit)) == 1


def put(slot: int) -> Callable[[Path], None]:
    """Return what adds a chunk."""

    def act(path: Path) -> None:
        data = bytearray(path.read_bytes())
        moved = len(data) // SECTOR_BYTES
        data += stored(drive(1, {17: SHAFT})).ljust(SECTOR_BYTES, b"\0")
        struct.pack_into(">I", data, 4 * slot, moved << 8 | 1)
        struct.pack_into(">I", data, SECTOR_BYTES + 4 * slot, 2**32 - 1)
        path.write_bytes(data)

    return act


def test_where_nothing_tells_which_chunk_was_written_all_are(save: Path) -> None:
    def without_a_trace(path: Path) -> None:
        path.write_bytes(path.read_bytes() + bytes(4096))

    assert len(taken(audited(save, without_a_trace))) == 2


def test_a_region_that_is_gone_at_the_end_was_written(save: Path) -> None:
    files = locate_save(save)
    (save / REGION).unlink()
    assert written_meanwhile(files) == {REGION: frozenset(range(1024))}


def test_a_link_out_of_the_save_is_not_looked_at(save: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere.mca"
    elsewhere.write_bytes(SAVED)
    (save / "r.1.0.mca").symlink_to(elsewhere)
    files = locate_save(save)
    elsewhere.write_bytes(b"")
    assert written_meanwhile(files) == {}


def test_no_record_is_kept_of_a_region_that_was_written(save: Path, tmp_path: Path) -> None:
    os.utime(save / REGION, (1, 1))
    kept = []
    for number, meanwhile in enumerate((nothing, saved_again(0))):
        folder = tmp_path / f"cache{number}"
        # Long after whatever this test has written.
        cache = Cache(folder, note=pytest.fail, clock_ns=lambda: 10**19)
        audited(save, meanwhile, cache=cache)
        kept.append(sum(path.stat().st_size for path in folder.rglob("*") if path.is_file()))
    assert kept[0] > kept[1]
