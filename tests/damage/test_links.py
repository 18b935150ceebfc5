"""Links in a save: inside it they are as good as what they lead to; out of it they are told."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from analyzer.demo.build import build_demo
from tests.damage.damage import BESIDE, CATALOGUE, REST, REST_SLOT
from tests.save.chunks import region
from tests.save.templates import block, template_file, template_tree
from tests.support.command import lineshaft

HERE = "region"


@pytest.fixture
def elsewhere(tmp_path: Path) -> Path:
    """A region file that is not in the save."""
    path = tmp_path / "elsewhere.mca"
    path.write_bytes(region({REST_SLOT: REST}))
    return path


@pytest.fixture
def save(tmp_path: Path) -> Path:
    """A whole save with one region."""
    home = tmp_path / "save" / HERE
    home.mkdir(parents=True)
    (home / "r.-1.0.mca").write_bytes(BESIDE)
    (home.parent / "level.dat").write_bytes(b"")
    (tmp_path / "slipway.toml").write_text(CATALOGUE, "utf-8")
    return home.parent


def audited(save: Path, *options: str) -> dict[str, Any]:
    catalogue = save.parent / "slipway.toml"
    asked = ["--catalogue", catalogue, "--no-config", "--format", "json", *options]
    report: dict[str, Any] = json.loads(lineshaft("audit", save, *asked).out)
    report["unread"] = [
        (one["file"], one["reason"]) for one in report["unread"] if one["file"] != "level.dat"
    ]
    return report


FOLLOW = "--follow-links"


def test_a_region_behind_a_link_out_of_the_save_is_read_if_asked(
    save: Path, elsewhere: Path
) -> None:
    (save / HERE / "r.0.0.mca").symlink_to(elsewhere)
    told = audited(save)
    assert told["unread"] == [(f"{HERE}/r.0.0.mca", "link-leaves-save")]
    followed = audited(save, FOLLOW)
    assert followed["unread"] == []
    assert len(followed["networks"]) == len(told["networks"]) + 1


def test_a_region_folder_behind_a_link_out_of_the_save_is_read_if_asked(
    save: Path, elsewhere: Path
) -> None:
    home = elsewhere.parent / "nether"
    home.mkdir()
    elsewhere.rename(home / "r.0.0.mca")
    (save / "DIM-1").mkdir()
    (save / "DIM-1" / HERE).symlink_to(home)
    told = audited(save)
    assert told["unread"] == [(f"DIM-1/{HERE}", "link-leaves-save")]
    followed = audited(save, FOLLOW)
    assert followed["unread"] == []
    assert {one["dimension"] for one in followed["networks"]} == {
        "minecraft:overworld",
        "minecraft:the_nether",
    }


@pytest.mark.parametrize("where", ["dimensions", "dimensions/quayworks"])
def test_dimensions_behind_a_link_out_of_the_save_are_told(
    save: Path, elsewhere: Path, where: str
) -> None:
    home = elsewhere.parent / "more"
    inner = {"dimensions": "quayworks/ebb", "dimensions/quayworks": "ebb"}[where]
    (home / inner / HERE).mkdir(parents=True)
    elsewhere.rename(home / inner / HERE / "r.0.0.mca")
    link = save / where
    link.parent.mkdir(exist_ok=True)
    link.symlink_to(home)
    assert audited(save)["unread"] == [(where, "link-leaves-save")]
    followed = audited(save, FOLLOW)
    assert followed["unread"] == []
    assert "quayworks:ebb" in followed["scan"]["dimensions"]


def test_a_chunks_own_file_behind_a_link_is_read_if_asked(save: Path, tmp_path: Path) -> None:
    (save / HERE / "r.0.0.mca").write_bytes(region({REST_SLOT: b"\x00\x00\x00\x01\x82"}))
    payload = tmp_path / "payload"
    payload.write_bytes(REST[5:])
    (save / HERE / "c.5.5.mcc").symlink_to(payload)
    assert audited(save)["unread"] == [(f"{HERE}/r.0.0.mca", "link-leaves-save")]
    assert audited(save, FOLLOW)["unread"] == []


def test_links_inside_the_save_are_fine(save: Path) -> None:
    kept = save / "kept"
    kept.mkdir()
    (kept / "r.0.0.mca").write_bytes(region({REST_SLOT: REST}))
    (save / HERE / "r.0.0.mca").symlink_to(Path("..", "kept", "r.0.0.mca"))
    (save / "DIM1").mkdir()
    (save / "DIM1" / HERE).symlink_to(kept)
    report = audited(save)
    assert report["unread"] == []
    assert len(report["networks"]) == 3


@pytest.mark.parametrize("options", [[], [FOLLOW]])
def test_links_in_a_ring_end(save: Path, options: list[str]) -> None:
    (save / HERE / "r.0.0.mca").symlink_to("r.1.0.mca")
    (save / HERE / "r.1.0.mca").symlink_to("r.0.0.mca")
    (save / "dimensions" / "quayworks").mkdir(parents=True)
    (save / "dimensions" / "quayworks" / "round").symlink_to("..")
    told = audited(save, *options)["unread"]
    assert [file for file, _ in told] == [f"{HERE}/r.0.0.mca", f"{HERE}/r.1.0.mca"]
    assert {reason for _, reason in told} <= {"link-leaves-save", "cannot-open"}


def test_a_folder_of_templates_tells_of_links_out_of_it(tmp_path: Path) -> None:
    home, other = tmp_path / "given", tmp_path / "other"
    other.mkdir()
    home.mkdir()
    template_file(other, template_tree([block(0, 0, 0)]))
    (home / "more").symlink_to(other)
    template_file(home, template_tree([block(0, 0, 0)]))
    asked = ["survey", home, "--no-config", "--format", "json"]
    told = json.loads(lineshaft(*asked).out)
    assert [(one["file"], one["reason"]) for one in told["unread"]] == [
        ("more", "link-leaves-save")
    ]
    assert json.loads(lineshaft(*asked, FOLLOW).out)["unread"] == []


def test_a_cache_goes_with_links_that_are_followed(
    save: Path, elsewhere: Path, tmp_path: Path
) -> None:
    (save / HERE / "r.0.0.mca").symlink_to(elsewhere)
    kept = str(tmp_path / "kept")
    first = audited(save, FOLLOW, "--cache", kept)
    assert first["unread"] == []
    assert audited(save, FOLLOW, "--cache", kept) == first


# Runs a command without root's right to read what nobody may (capabilities(7): CAP_DAC_OVERRIDE
# and CAP_DAC_READ_SEARCH; capset(2) for the numbers). Whoever is not root has no such right.
_WITHOUT_RIGHTS = """
import ctypes, os, sys
if os.geteuid() == 0:
    libc = ctypes.CDLL(None, use_errno=True)
    head = (ctypes.c_uint32 * 2)(0x20080522, 0)
    sets = (ctypes.c_uint32 * 6)()
    if libc.capget(head, sets) or libc.prctl(24, 1, 0, 0, 0) or libc.prctl(24, 2, 0, 0, 0):
        sys.exit(99)
    for number in range(3):
        sets[number] &= ~0b110
    if libc.capset(head, sets):
        sys.exit(99)
from analyzer.cli.main import main
main(sys.argv[1:])
"""


@pytest.mark.skipif(sys.platform != "linux", reason="rights are given up as on Linux")
def test_what_may_not_be_read_is_told(tmp_path: Path) -> None:
    save = tmp_path / "sluice"
    build_demo(save)
    closed_file = save / HERE / "r.0.0.mca"
    closed_folder = next(one for one in save.rglob(HERE) if one.parent != save)
    report = tmp_path / "report.json"
    command = ["audit", str(save), "--catalogue", "quayworks", "--no-config", "--no-cache"]
    command += ["--format", "json", "--output", str(report), "--quiet"]
    try:
        closed_file.chmod(0)
        closed_folder.chmod(0)
        done = subprocess.run(
            [sys.executable, "-c", _WITHOUT_RIGHTS, *command],
            capture_output=True,
            text=True,
            check=False,
        )
    finally:
        closed_file.chmod(0o644)
        closed_folder.chmod(0o755)
    if done.returncode == 99:
        pytest.skip("root's rights cannot be given up here")
    assert done.returncode == 3, done.stderr
    told = {one["file"]: one["reason"] for one in json.loads(report.read_text("utf-8"))["unread"]}
    assert told[f"{HERE}/r.0.0.mca"] == "cannot-open"
    assert told[closed_folder.relative_to(save).as_posix()] == "cannot-open"
