"""Small files that hold far too much: what stops them, and how little memory and time they get."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from analyzer import audit_save
from analyzer.base.limits import Limits
from analyzer.catalogue.load import load_catalogue_text
from tests.damage.bombs import iter_bombs
from tests.damage.damage import CATALOGUE, SOUND, Damage, within
from tests.damage.make_corpus import iter_corpus
from tests.save.chunks import stored
from tests.support.command import lineshaft

pytestmark = pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="no /proc here")

#: Most memory of all processes together, in MiB.
MOST_MIB: Final = 400

#: Processor time in which any chunk is read or given up, with a wide margin, in seconds.
MOST_SECONDS: Final = 30


@pytest.fixture(scope="module")
def bombs() -> dict[str, Damage]:
    return {damage.name: damage for damage in iter_bombs()}


@pytest.mark.parametrize(
    ("name", "detail"),
    [
        ("bomb-zlib", "inflates to more than 33,554,432 bytes"),
        ("bomb-gzip", "inflates to more than 33,554,432 bytes"),
        ("bomb-of-tags", "more tags than the limit"),
        ("bomb-of-names", "more tags than the limit"),
        ("bomb-of-entities", "3,900,000 block entities are more than the limit"),
        ("bomb-of-palettes", "1,100,000 entries of palettes are more than the limit leaves"),
    ],
)
def test_a_bomb_stops_at_its_limit(
    bombs: dict[str, Damage], tmp_path: Path, name: str, detail: str
) -> None:
    bomb = bombs[name]
    report, peak_mib = audited(bomb.write(tmp_path), tmp_path)
    (fault,) = report["unread"]
    assert (fault["reason"], fault["offset"]) == (bomb.reason, bomb.offset)
    assert detail in fault["detail"]
    assert [network["state"] for network in report["networks"]] == ["idle", "turning"]
    # Two workers may each hold as much as this process, which does the rest besides.
    assert 2 * peak_mib < MOST_MIB


def test_two_workers_with_a_bomb_each_stay_small(bombs: dict[str, Damage], tmp_path: Path) -> None:
    bomb = bombs["bomb-lz4"]
    home = bomb.write(tmp_path)
    for number in range(1, 9):
        (home / f"r.{number}.0.mca").write_bytes(bomb.data)
    report, peak_mib = audited(home, tmp_path, "--jobs", "2")
    reasons = [fault["reason"] for fault in report["unread"]]
    # Chunk (5, 5) of the others says that it is that of the first.
    assert sorted(reasons) == ["too-large"] * 9 + ["wrong-place"] * 8
    assert peak_mib < MOST_MIB


def test_the_whole_corpus_with_two_workers_stays_small(
    bombs: dict[str, Damage], tmp_path: Path
) -> None:
    save = tmp_path / "save"
    corpus = [*iter_corpus(), *bombs.values()]
    for damage in corpus:
        # Each a dimension, so that its chunks are where they say that they are.
        damage.write(save / "dimensions").rename(save / "region")
        home = save / "dimensions" / "damage" / damage.name
        home.mkdir(parents=True)
        (save / "region").rename(home / "region")
    report, peak_mib = audited(save, tmp_path, "--jobs", "2")
    told = {fault["reason"] for fault in report["unread"]}
    assert {damage.reason for damage in corpus if damage.reason and damage.seen_always} <= told
    assert peak_mib < MOST_MIB


@pytest.mark.parametrize(
    ("limits", "reason"),
    [
        (Limits(inflated_bytes=len(SOUND) - 1), "too-large"),
        (Limits(tags=10), "bad-nbt"),
        (Limits(depth=2), "bad-nbt"),
        (Limits(palette_entries=1), "bad-palette"),
        (Limits(state_bytes=20), "bad-palette"),
        (Limits(parts=1), "too-large"),
    ],
)
def test_each_limit_can_be_set(tmp_path: Path, limits: Limits, reason: str) -> None:
    home = Damage("limits", within(stored(SOUND)), None).write(tmp_path)
    (home / "r.-1.0.mca").unlink()
    catalogues = load_catalogue_text(CATALOGUE, "slipway")
    for bounds, expected in ((Limits(), set()), (limits, {reason})):
        audit = audit_save(home, catalogues=catalogues, limits=bounds)
        assert {fault.reason for fault in audit.scan.coverage.faults} == expected


@pytest.mark.parametrize("command", [["audit"], ["parts"], ["survey"], ["explain"]])
def test_each_limit_is_an_option_of_the_command_line(tmp_path: Path, command: list[str]) -> None:
    home = Damage("limits", within(stored(SOUND)), None).write(tmp_path)
    catalogue = tmp_path / "slipway.toml"
    catalogue.write_text(CATALOGUE, "utf-8")
    at = ["4", "64", "8"] if command == ["explain"] else []
    asked = [*command, home, *at, "--catalogue", catalogue, "--no-config"]
    assert lineshaft(*asked).status == 0
    for limit in ("inflated_bytes=200", "tags=10", "depth=2", "palette_entries=1"):
        assert lineshaft(*asked, "--limit", limit).status == 3
    assert lineshaft(*asked, "--limit", "tags=10", "--limit", "tags=9999").status == 0


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ("bytes=10", "'bytes' is no limit; there are inflated_bytes, tags, depth, "),
        ("tags", "expected tags=NUMBER, a whole number."),
        ("tags=many", "expected tags=NUMBER, a whole number."),
        ("tags=-1", "expected tags=NUMBER, a whole number."),
        ("tags=0", "expected at least 1."),
        ("tags=" + "9" * 5000, "expected tags=NUMBER, a whole number."),
    ],
)
def test_a_false_limit_is_wrong_usage(tmp_path: Path, given: str, told: str) -> None:
    done = lineshaft("audit", tmp_path, "--limit", given)
    assert done.status == 2
    assert told in done.err


def audited(home: Path, folder: Path, *options: str) -> tuple[dict[str, list[dict[str, str]]], int]:
    """Return the report, and the sum of what each process had at its most, in MiB."""
    catalogue = folder / "slipway.toml"
    catalogue.write_text(CATALOGUE, "utf-8")
    report = folder / "report.json"
    running = subprocess.Popen(
        [
            *("sh", "-c", f'ulimit -t {MOST_SECONDS}; exec "$@"', "sh"),
            *(sys.executable, "-m", "analyzer.cli.main", "audit", str(home), *options),
            *("--catalogue", str(catalogue), "--no-config", "--no-cache", "--quiet"),
            *("--format", "json", "--output", str(report)),
        ]
    )
    peaks: dict[int, int] = {}
    while running.poll() is None:
        for process in iter_family(running.pid):
            peaks[process] = max(peaks.get(process, 0), most_kib(process))
        time.sleep(0.02)
    assert running.returncode == 3
    return json.loads(report.read_text("utf-8")), sum(peaks.values()) // 1024


def iter_family(process: int) -> Iterator[int]:
    yield process
    try:
        children = Path(f"/proc/{process}/task/{process}/children").read_text("ascii").split()
    except OSError:
        return
    for child in children:
        yield from iter_family(int(child))


def most_kib(process: int) -> int:
    """Return the most memory that a process has had so far; 0 where it has ended."""
    try:
        status = Path(f"/proc/{process}/status").read_text("ascii")
    except OSError:
        return 0
    lines = [line for line in status.splitlines() if line.startswith("VmHWM:")]
    return int(lines[0].split()[1]) if lines else 0
