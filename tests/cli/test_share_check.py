"""The share check as a user runs it."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from analyzer.demo.content import place
from tests.support.command import lineshaft
from tests.support.demo import demo_save
from tests.support.saves import save_of
from tests.support.schemas import check_document

QUAYWORKS = ("--catalogue", "quayworks", "--no-config")
SECTIONS = (
    "To mend: ",
    "To install: ",
    "Cut by the world's edge: ",
    "About people: ",
    "Addresses ",
)


@pytest.fixture
def save(tmp_path: Path) -> Path:
    """A save with something of everything that an author should know."""
    shaft = "quayworks:line_shaft[axis=x]"
    data = {"id": "quayworks:line_shaft"}
    folder = save_of(
        tmp_path,
        [
            place((511, 64, 1), shaft, data),
            place((3, 64, 1), "a:plank", {"id": "a:sign", "Note": "mate@quay.example"}),
        ],
    )
    (folder / "region" / "r.1.0.mca").unlink(missing_ok=True)
    (folder / "playerdata").mkdir(exist_ok=True)
    (folder / "playerdata" / "0a.dat").write_bytes(b"x")
    return folder


def test_the_demo_is_told_section_by_section() -> None:
    done = lineshaft("share-check", demo_save(), *QUAYWORKS, encoding="utf-8")
    assert done.status == 3
    places = [done.out.index(section) for section in SECTIONS]
    assert places == sorted(places)
    assert "changed     nothing" in done.out
    assert "error: overload" in done.out
    assert "quayworks_stores" in done.out
    assert max(map(len, done.out.splitlines())) <= 110


def test_everything_is_told_with_where_it_lies(save: Path) -> None:
    out = lineshaft("share-check", save, *QUAYWORKS).out
    assert "  player data              playerdata/0a.dat\n" in out
    assert "  email  mate@quay.example\n         at 3 64 1, Note in region/r.0.0.mca\n" in out
    assert "at 511 64 1 towards 512 64 1" in out
    assert "       1      1               1    1  a\n" in out


def test_the_document_keeps_to_its_schema_and_holds_the_same(save: Path) -> None:
    done = lineshaft("share-check", save, *QUAYWORKS, "--format", "json")
    document = check_document(done.out, "share-check")
    assert document["changed"] is False
    assert [need["namespace"] for need in document["needs"]] == ["a", "quayworks"]
    assert [edge["network"] for edge in document["edges"]] == ["minecraft:overworld:511,64,1"]
    assert document["personal"] == [{"kind": "player data", "file": "playerdata/0a.dat"}]
    assert [one["text"] for one in document["addresses"]] == ["mate@quay.example"]
    demo = lineshaft("share-check", demo_save(), *QUAYWORKS, "--format", "json")
    found = check_document(demo.out, "share-check")
    assert {finding["level"] for finding in found["findings"]} == {"error", "warning"}
    assert len(found["unread"]) == found["scan"]["chunks"]["unreadable"] == 2
    assert found["scan"]["chunks"]["sifted"] == 0


def test_the_status_is_that_of_an_audit(save: Path, tmp_path: Path) -> None:
    assert lineshaft("share-check", save, *QUAYWORKS).status == 0
    # That no catalogue is given is a warning.
    assert lineshaft("share-check", save, "--no-config").status == 0
    assert lineshaft("share-check", save, "--no-config", "--fail-on", "warning").status == 1
    allowed = (*QUAYWORKS, "--allow-unread")
    assert lineshaft("share-check", demo_save(), *allowed).status == 1
    assert lineshaft("share-check", demo_save(), *allowed, "--fail-on", "never").status == 0
    assert lineshaft("share-check", tmp_path / "nowhere").status == 2


def test_a_stored_tree_that_cannot_be_read_counts_as_unread(save: Path) -> None:
    (save / "data").mkdir(exist_ok=True)
    (save / "data" / "raids.dat").write_bytes(b"\x1f\x8bcut")
    done = lineshaft("share-check", save, *QUAYWORKS)
    assert done.status == 3
    assert "data/raids.dat: " in done.out


def test_more_processes_make_no_difference(tmp_path: Path) -> None:
    save = save_of(
        tmp_path, [place((600 * n, 64, 0), f"a{n}:reel", {"id": "a:reel"}) for n in range(10)]
    )
    one, two = (
        lineshaft("share-check", save, *QUAYWORKS, "--quiet", "--jobs", jobs) for jobs in (1, 2)
    )
    assert one == two


def test_nothing_in_the_save_is_changed(save: Path, tmp_path: Path) -> None:
    before = _state(save)
    shutil.copytree(save, tmp_path / "copy")
    lineshaft("share-check", save, *QUAYWORKS)
    assert _state(save) == before
    target = save / "report.txt"
    assert lineshaft("share-check", save, *QUAYWORKS, "--output", target).status == 2
    assert not target.exists()


def _state(save: Path) -> list[tuple[str, int, int]]:
    found = []
    for path in sorted(save.rglob("*")):
        result = os.lstat(path)
        found.append((str(path), result.st_mtime_ns, result.st_size))
    return found
