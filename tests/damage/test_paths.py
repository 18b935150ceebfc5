"""Links out of a save, strange names and what cannot be opened, through the command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.damage.damage import BESIDE, CATALOGUE, REST, REST_SLOT
from tests.save.chunks import region
from tests.support.command import lineshaft


def save(folder: Path) -> Path:
    home = folder / "save" / "region"
    home.mkdir(parents=True)
    (home / "r.-1.0.mca").write_bytes(BESIDE)
    return home


def audited(folder: Path) -> tuple[int, dict[str, Any]]:
    catalogue = folder / "slipway.toml"
    catalogue.write_text(CATALOGUE, "utf-8")
    asked = ["--catalogue", catalogue, "--no-config", "--format", "json"]
    done = lineshaft("audit", folder / "save" / "region", *asked)
    assert done.err == ""
    return done.status, json.loads(done.out)


def told(report: dict[str, Any]) -> list[tuple[Any, ...]]:
    return [(one["file"], one["chunk"], one["reason"]) for one in report["unread"]]


def test_what_links_out_of_the_save_is_told_and_its_networks_are_cut(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere.mca"
    elsewhere.write_bytes(region({REST_SLOT: REST}))
    (save(tmp_path) / "r.0.0.mca").symlink_to(elsewhere)
    status, report = audited(tmp_path)
    assert (status, told(report)) == (3, [("r.0.0.mca", None, "link-leaves-save")])
    (beside,) = report["networks"]
    assert [cut["reason"] for cut in beside["cut"]] == ["unreadable"]
    assert str(tmp_path) not in json.dumps(report)


def test_a_folder_in_the_place_of_a_region_is_told(tmp_path: Path) -> None:
    (save(tmp_path) / "r.0.0.mca").mkdir()
    status, report = audited(tmp_path)
    assert (status, told(report)) == (3, [("r.0.0.mca", None, "cannot-open")])


def test_strange_names_are_told_and_harm_nothing(tmp_path: Path) -> None:
    home = save(tmp_path)
    names = [
        b"r.0.0 (1).mca",
        b"r.\xff.0.mca",
        b"R.1.0.MCA",
        b"tmp1234",
        b"session.lock",
        b"\n.mcr",
    ]
    for name in names:
        Path(bytes(home).decode(), name.decode("utf-8", "surrogateescape")).write_bytes(b"odd")
    status, report = audited(tmp_path)
    assert (status, told(report)) == (0, [])
    assert report["save"]["passed_over"] == [
        "\n.mcr",
        "R.1.0.MCA",
        "r.0.0 (1).mca",
        "r.\udcff.0.mca",
    ]
