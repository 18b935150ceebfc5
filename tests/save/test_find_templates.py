"""Finding structure templates: one, or a folder of them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from analyzer.base.errors import SaveNotOpenedError, UsageError
from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import Scan, SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.save.nbt_bytes import list_of
from tests.save.templates import block, data, palette, template_file, template_tree
from tests.save.test_locate import level, refusal, regions

WANTED = Wanted({"quayworks:shaft": ()})


def put(folder: Path, *names: str) -> Path:
    """Write templates of one shaft each."""
    content = template_tree([block(0, 0, 0, 0, data("quayworks:shaft"))])
    for name in names:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        template_file(path.parent, content, name="new").path.rename(path)
    return folder


def scanned(path: Path) -> Scan:
    return scan_save(locate_save(path), WANTED)


def test_a_single_template_is_a_dimension_of_its_name(tmp_path: Path) -> None:
    put(tmp_path, "crane.nbt", "other.nbt")
    files = locate_save(tmp_path / "crane.nbt")
    assert (files.title, files.dimensions, files.locks) == ("crane", ("template:crane",), None)
    assert files.regions == ()
    assert [template.file for template in files.templates] == ["crane.nbt"]
    scan = scanned(tmp_path / "crane.nbt")
    assert len(scan.candidates) == 1
    assert scan.facts.open_elsewhere is None


def test_a_single_template_may_be_given_through_a_link(tmp_path: Path) -> None:
    put(tmp_path / "there", "crane.nbt")
    (tmp_path / "here.nbt").symlink_to(tmp_path / "there" / "crane.nbt")
    scan = scanned(tmp_path / "here.nbt")
    assert scan.dimensions == ("template:here",)
    assert len(scan.candidates) == 1


def test_a_folder_of_templates_is_searched_with_all_its_folders(tmp_path: Path) -> None:
    put(tmp_path, "b.nbt", "a/b.nbt", "a/c/deep crane.nbt", "a-b.nbt", "notes.txt", "no.NBT")
    files = locate_save(tmp_path)
    assert files.dimensions == (
        "template:a-b",
        "template:a/b",
        "template:a/c/deep crane",
        "template:b",
    )
    assert [template.file for template in files.templates] == [
        "a-b.nbt",
        "a/b.nbt",
        "a/c/deep crane.nbt",
        "b.nbt",
    ]
    assert files.title == tmp_path.name
    scan = scanned(tmp_path)
    assert scan.candidates.dimension.tolist() == [0, 1, 2, 3]


def test_templates_are_chosen_as_dimensions_are(tmp_path: Path) -> None:
    put(tmp_path, "b.nbt", "a/b.nbt")
    files = locate_save(tmp_path, dimension="template:a/b")
    scan = scan_save(files, WANTED, dimensions=("template:a/b",))
    assert scan.dimensions == ("template:a/b",)
    assert len(scan.candidates) == 1
    with pytest.raises(UsageError, match="it has: template:a/b, template:b"):
        scan_save(files, WANTED, dimensions=("template:c",))


def test_everything_round_a_template_counts_as_read(tmp_path: Path) -> None:
    put(tmp_path, "a.nbt", "b.nbt")
    (tmp_path / "b.nbt").write_bytes(b"junk")
    scan = scanned(tmp_path)
    assert scan.coverage.whole == {0}
    assert scan.coverage.regions == ()
    far = scan.candidates.xyz[:1, 0].repeat(4)
    far[:] = [0, -1, 5, 10**6]
    status = scan.coverage.status_of(dimension=far * 0, cx=far, cz=far)
    assert status.tolist() == [SlotStatus.READ] * 4
    # Nothing is known of a template that could not be read.
    unread = scan.coverage.status_of(dimension=far * 0 + 1, cx=far, cz=far)
    assert unread.tolist() == [SlotStatus.ABSENT] * 4
    assert [(f.dimension, f.file, f.reason) for f in scan.coverage.faults] == [
        ("template:b", "b.nbt", "bad-gzip-stream")
    ]


def test_in_a_save_only_the_regions_are_read(tmp_path: Path) -> None:
    save = level(tmp_path)
    put(save / "generated/quayworks/structures", "crane.nbt")
    assert locate_save(save).templates == ()
    regions(save / "region")
    files = locate_save(save)
    assert (files.templates, files.dimensions) == ((), ("minecraft:overworld",))


def test_beside_region_files_templates_are_not_read(tmp_path: Path) -> None:
    put(regions(tmp_path / "copied"), "crane.nbt")
    files = locate_save(tmp_path / "copied")
    assert (files.templates, files.dimensions) == ((), ("unnamed",))


@pytest.mark.parametrize("inner", ["worlds/quay", "quay"])
def test_a_save_among_templates_is_passed_over_and_that_is_told(tmp_path: Path, inner: str) -> None:
    put(tmp_path, "crane.nbt")
    put(level(tmp_path / inner) / "generated/quayworks/structures", "inner.nbt")
    files = locate_save(tmp_path)
    assert files.dimensions == ("template:crane",)
    assert files.passed_over == (inner,)
    assert scanned(tmp_path).facts.passed_over == (inner,)


def test_a_folder_of_saves_is_no_folder_of_templates(tmp_path: Path) -> None:
    put(level(tmp_path / "quay") / "generated/quayworks/structures", "crane.nbt")
    assert "folder of saves" in refusal(tmp_path).reason


def test_templates_with_several_palettes_are_named(tmp_path: Path) -> None:
    both = list_of(palette("quayworks:shaft"), palette("quayworks:keel"))
    put(tmp_path, "a.nbt")
    content = template_tree([], changes={"palettes": both})
    for name in ("c", "b"):
        template_file(tmp_path, content, name=name)
    assert scanned(tmp_path).facts.several_palettes == ("template:b", "template:c")


def test_names_that_would_steer_a_terminal_are_written_out(tmp_path: Path) -> None:
    put(tmp_path, "a\x1b[2J.nbt", "b\u202ec.nbt", "back\\slash.nbt")
    assert locate_save(tmp_path).dimensions == (
        "template:a\\u001b[2J",
        "template:b\\u202ec",
        "template:back\\u005cslash",
    )


def test_names_that_are_no_text_are_written_out(tmp_path: Path) -> None:
    put(tmp_path, os.fsdecode(b"a\xff.nbt"))
    (name,) = locate_save(tmp_path).dimensions
    assert name == "template:a\\udcff"
    assert len(scanned(tmp_path).candidates) == 1


def test_links_out_of_the_folder_are_not_followed(tmp_path: Path) -> None:
    put(tmp_path / "there", "crane.nbt", "inner/mast.nbt")
    here = put(tmp_path / "here", "a.nbt")
    (here / "b.nbt").symlink_to(tmp_path / "there" / "crane.nbt")
    (here / "c").symlink_to(tmp_path / "there" / "inner")
    (here / "ring").symlink_to(here)
    (here / "d.nbt").symlink_to(here / "a.nbt")
    scan = scanned(here)
    assert scan.dimensions == ("template:a", "template:b", "template:d")
    assert len(scan.candidates) == 2
    assert [(f.file, f.reason) for f in scan.coverage.faults] == [
        ("c", "link-leaves-save"),
        ("b.nbt", "link-leaves-save"),
    ]


def test_a_folder_that_cannot_be_listed_is_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(tmp_path, "a.nbt", "closed/b.nbt")
    listing = os.listdir

    def refusing(folder: Path) -> list[str]:
        if folder.name == "closed":
            raise PermissionError(13, "Permission denied")
        return listing(folder)

    monkeypatch.setattr(os, "listdir", refusing)
    files = locate_save(tmp_path)
    assert files.dimensions == ("template:a",)
    assert [(f.dimension, f.file, f.reason) for f in files.faults] == [
        ("", "closed", "cannot-open")
    ]


@pytest.mark.parametrize(
    ("bound", "told"), [("_MOST_FOLDERS", "folders"), ("_MOST_TEMPLATES", "templates")]
)
def test_a_folder_that_is_too_large_to_be_searched_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, bound: str, told: str
) -> None:
    put(tmp_path, "a.nbt", "b.nbt", "c/d.nbt", "e/f.nbt")
    monkeypatch.setattr(f"analyzer.save.files.find_templates.{bound}", 2)
    assert f"more than 2 {told}" in refusal(tmp_path).reason
    monkeypatch.setattr(f"analyzer.save.files.find_templates.{bound}", 4)
    assert len(locate_save(tmp_path).templates) == 4


def test_folders_beyond_the_deepest_are_not_searched_and_that_is_told(tmp_path: Path) -> None:
    deep, deeper = "/".join(["d"] * 16), "/".join(["d"] * 17)
    put(tmp_path, f"{deep}/a.nbt", f"{deeper}/b.nbt")
    files = locate_save(tmp_path)
    assert files.dimensions == (f"template:{deep}/a",)
    assert [(fault.file, fault.reason) for fault in files.faults] == [(deeper, "too-deep")]


def test_a_missing_template_is_refused(tmp_path: Path) -> None:
    assert "no such folder or file" in refusal(tmp_path / "crane.nbt").reason


def test_a_folder_named_as_a_template_is_a_folder(tmp_path: Path) -> None:
    put(tmp_path / "set.nbt", "crane.nbt")
    assert locate_save(tmp_path / "set.nbt").dimensions == ("template:crane",)


def test_a_refusal_says_what_may_be_given(tmp_path: Path) -> None:
    with pytest.raises(SaveNotOpenedError, match=r"structure templates \(\.nbt\)"):
        locate_save(tmp_path)
