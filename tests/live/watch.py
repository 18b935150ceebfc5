"""Scanning a save again and again while it is written, and judging what every scan says."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from analyzer.pipeline.processes import Processes
from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import Scan, SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.live.chunks import FIRST, PART, SECOND
from tests.live.writer import BARE, GAUGES, NUMBERS, REGIONS, Versions

WANTED: Final = Wanted({PART: ((FIRST,), (SECOND,))})
_EVERY_BYTE: Final = Wanted({PART: ((FIRST,), (SECOND,))}, every_byte=True)

How = Literal["server", "in-place"]


@dataclass
class Seen:
    """What some scans came to."""

    scans: int = 0
    writes: int = 0
    read: int = 0
    sifted: int = 0
    unstable: int = 0
    changed: int = 0


@contextmanager
def written(folder: Path, how: How, seed: int) -> Iterator[tuple[Path, Versions]]:
    """Give a region folder that a process writes, and what tells the versions of its chunks."""
    home = folder / "region"
    home.mkdir()
    numbers = folder / "versions"
    numbers.write_bytes(bytes(4 * NUMBERS))
    command = [sys.executable, "-m", "tests.live.writer", str(home), str(numbers), how, str(seed)]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
        try:
            assert writer.stdout is not None
            assert writer.stdout.readline() == b"ready\n"
            yield home, Versions(numbers)
            assert writer.poll() is None
        finally:
            writer.kill()


def watch(folder: Path, how: How, *, seconds: float, seed: int) -> Seen:
    """Scan for some seconds, on two processes every third time.

    Raises
    ------
    AssertionError
        Where a scan says what was never written.
    """
    seen = Seen()
    end = time.monotonic() + seconds
    with written(folder, how, seed) as (home, versions), Processes(2) as pool:
        before = versions.writes
        while time.monotonic() < end:
            executor = pool if seen.scans % 3 == 2 else None
            wanted = _EVERY_BYTE if seen.scans % 2 else WANTED
            _scan(home, versions, wanted, executor, seen)
        seen.writes = versions.writes - before
    return seen


def _scan(
    home: Path, versions: Versions, wanted: Wanted, executor: Executor | None, seen: Seen
) -> None:
    least = versions.all("written")
    scan = scan_save(locate_save(home), wanted, executor=executor)
    most = versions.all("begun")
    seen.scans += 1
    seen.changed += sum(most[key] != least[key] for key in least)
    told = _versions(scan)
    for region in scan.coverage.regions:
        number = REGIONS.index((region.rx, region.rz))
        for slot in range(GAUGES + BARE):
            status = region.status[slot]
            if status == SlotStatus.UNSTABLE:
                seen.unstable += 1
                assert (number, slot) not in told
            elif slot < GAUGES:
                assert status == SlotStatus.READ, (region, slot, scan.coverage.faults)
                first, second = told.pop((number, slot))
                assert first == second
                assert least[number, slot] <= first <= most[number, slot]
                seen.read += 1
            else:
                assert status == (SlotStatus.READ if wanted.every_byte else SlotStatus.SIFTED)
                seen.sifted += 1
    assert not told
    unstable = [fault for fault in scan.coverage.faults if fault.reason == "unstable"]
    assert len(unstable) == len(scan.coverage.faults)
    assert len(unstable) == scan.coverage.counts()[SlotStatus.UNSTABLE]


def _versions(scan: Scan) -> dict[tuple[int, int], tuple[int, int]]:
    """Return the two numbers of each gauge, by (number of the region, slot)."""
    candidates, readings = scan.candidates, scan.candidates.readings
    assert readings.row.tolist() == [row for row in range(len(candidates)) for _ in range(2)]
    numbers = readings.integer.tolist()
    told = {}
    for row, (x, _, z) in enumerate(candidates.xyz.tolist()):
        region = REGIONS.index((x >> 9, z >> 9))
        slot = (x >> 4 & 31) + 32 * (z >> 4 & 31)
        told[region, slot] = (numbers[2 * row], numbers[2 * row + 1])
    return told
