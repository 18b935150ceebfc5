"""Finding a save's files in every layout, and refusing what is no save."""

from __future__ import annotations

import gzip
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from analyzer.base.errors import SaveNotOpenedError, UsageError
from analyzer.save.files.chosen_dimensions import choose_dimensions
from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.save.nbt_bytes import compound, integer, text, tree

OLD_FOLDERS = {
    "minecraft:overworld": "region",
    "minecraft:the_nether": "DIM-1/region",
    "minecraft:the_end": "DIM1/region",
}


def level(folder: Path, name: str = "Tidal quay", version: int = 3955) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    data = compound(Data=compound(LevelName=text(name), DataVersion=integer(version)))
    (folder / "level.dat").write_bytes(gzip.compress(tree(data)))
    return folder


def regions(folder: Path, *names: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name in names or ("r.0.0.mca",):
        (folder / name).write_bytes(b"")
    return folder


def found(path: Path, dimension: str | None = None) -> dict[str, list[str]]:
    files = locate_save(path, dimension=dimension)
    return {
        name: [region.file for region in files.regions if region.dimension == name]
        for name in files.dimensions
    }


def test_the_old_layout_has_three_folders_and_more_under_dimensions(tmp_path: Path) -> None:
    save = level(tmp_path / "quay")
    for folder in OLD_FOLDERS.values():
        regions(save / folder)
    regions(save / "dimensions/quayworks/tide/pool/region", "r.-1.2.mca")
    assert found(save) == {
        "minecraft:overworld": ["region/r.0.0.mca"],
        "minecraft:the_end": ["DIM1/region/r.0.0.mca"],
        "minecraft:the_nether": ["DIM-1/region/r.0.0.mca"],
        "quayworks:tide/pool": ["dimensions/quayworks/tide/pool/region/r.-1.2.mca"],
    }


def test_the_new_layout_has_all_under_dimensions(tmp_path: Path) -> None:
    save = level(tmp_path, version=4790)
    for name in ("overworld", "the_nether", "the_end"):
        regions(save / "dimensions/minecraft" / name / "region")
        regions(save / "dimensions/minecraft" / name / "entities")
        regions(save / "dimensions/minecraft" / name / "poi")
    files = locate_save(save)
    assert files.dimensions == ("minecraft:overworld", "minecraft:the_end", "minecraft:the_nether")
    assert len(files.regions) == 3
    assert files.title == "Tidal quay"
    assert files.faults == ()


@pytest.mark.parametrize(
    ("version", "expected"),
    [
        (4773, "region/r.0.0.mca"),
        (4774, "dimensions/minecraft/overworld/region/r.0.0.mca"),
        (None, "dimensions/minecraft/overworld/region/r.0.0.mca"),
    ],
)
def test_of_both_layouts_the_one_counts_that_the_last_game_knew(
    tmp_path: Path, version: int | None, expected: str
) -> None:
    if version is not None:
        level(tmp_path, version=version)
    regions(tmp_path / "region")
    regions(tmp_path / "dimensions/minecraft/overworld/region")
    if version is None:
        regions(tmp_path / "DIM1/region")
    assert found(tmp_path)["minecraft:overworld"] == [expected]


@pytest.mark.parametrize(
    ("version", "expected"),
    [
        (4773, ("dimensions/minecraft/overworld/region",)),
        (4774, ("region",)),
    ],
)
def test_the_folder_that_does_not_count_is_told(
    tmp_path: Path, version: int, expected: tuple[str, ...]
) -> None:
    level(tmp_path, version=version)
    regions(tmp_path / "region")
    regions(tmp_path / "dimensions/minecraft/overworld/region")
    regions(tmp_path / "dimensions/quayworks/tide/region")
    files = locate_save(tmp_path)
    assert files.passed_over == expected
    assert scan_save(files, Wanted({})).facts.passed_over == expected


def test_an_empty_folder_is_not_worth_telling(tmp_path: Path) -> None:
    level(tmp_path, version=4790)
    (tmp_path / "region").mkdir()
    regions(tmp_path / "dimensions/minecraft/overworld/region")
    assert locate_save(tmp_path).passed_over == ()


def test_an_empty_folder_does_not_hide_the_other_layout(tmp_path: Path) -> None:
    level(tmp_path, version=4790)
    regions(tmp_path / "region")
    (tmp_path / "dimensions/minecraft/overworld/region").mkdir(parents=True)
    assert found(tmp_path) == {"minecraft:overworld": ["region/r.0.0.mca"]}


def test_numbered_folders_of_mods_keep_their_name(tmp_path: Path) -> None:
    level(tmp_path)
    regions(tmp_path / "DIM7/region")
    regions(tmp_path / "DIM-28/region")
    regions(tmp_path / "DIMENSION/region")
    assert sorted(found(tmp_path)) == ["DIM-28", "DIM7"]


def test_a_servers_sibling_folders_belong_to_the_save(tmp_path: Path) -> None:
    save = level(tmp_path / "harbour")
    regions(save / "region")
    regions(level(tmp_path / "harbour_nether") / "DIM-1/region")
    regions(level(tmp_path / "harbour_the_end") / "DIM1/region", "r.3.-4.mca")
    assert found(save) == {
        "minecraft:overworld": ["region/r.0.0.mca"],
        "minecraft:the_end": ["../harbour_the_end/DIM1/region/r.3.-4.mca"],
        "minecraft:the_nether": ["../harbour_nether/DIM-1/region/r.0.0.mca"],
    }
    locks = locate_save(save).locks
    assert locks is not None
    assert len(locks) == 3


def test_a_sibling_folder_alone_holds_its_one_dimension(tmp_path: Path) -> None:
    nether = level(tmp_path / "harbour_nether")
    regions(nether / "DIM-1/region")
    assert found(nether) == {"minecraft:the_nether": ["DIM-1/region/r.0.0.mca"]}


def test_siblings_do_not_replace_what_the_save_has_itself(tmp_path: Path) -> None:
    save = level(tmp_path / "harbour")
    regions(save / "DIM-1/region")
    regions(tmp_path / "harbour_nether/DIM-1/region", "r.9.9.mca")
    assert found(save) == {"minecraft:the_nether": ["DIM-1/region/r.0.0.mca"]}
    assert locate_save(save).passed_over == ("../harbour_nether/DIM-1/region",)


def test_siblings_come_before_an_empty_folder_of_the_save_itself(tmp_path: Path) -> None:
    save = level(tmp_path / "harbour")
    (save / "DIM-1/region").mkdir(parents=True)
    regions(tmp_path / "harbour_nether/DIM-1/region", "r.9.9.mca")
    files = locate_save(save)
    assert [region.file for region in files.regions] == ["../harbour_nether/DIM-1/region/r.9.9.mca"]
    assert files.passed_over == ()


@pytest.mark.parametrize("folder", ["region", "copied regions"])
def test_a_folder_of_region_files_is_one_unnamed_dimension(tmp_path: Path, folder: str) -> None:
    here = regions(tmp_path / folder, "r.0.0.mca", "r.-1.0.mca")
    assert found(here) == {"unnamed": ["r.-1.0.mca", "r.0.0.mca"]}
    assert found(here, "quayworks:tide") == {"quayworks:tide": ["r.-1.0.mca", "r.0.0.mca"]}
    assert locate_save(here).locks is None


def test_a_dimensions_folder_is_one_unnamed_dimension(tmp_path: Path) -> None:
    regions(tmp_path / "region")
    regions(tmp_path / "entities")
    assert found(tmp_path) == {"unnamed": ["region/r.0.0.mca"]}
    assert found(tmp_path, "here") == {"here": ["region/r.0.0.mca"]}


def test_names_that_are_no_regions_are_told_where_they_look_like_some(tmp_path: Path) -> None:
    names = ["r.0.0.mca.bak", "r.00.1.mca", "r.-0.1.mca", "r.a.0.mca", "R.0.0.mca", "tmp123"]
    names += ["c.1.2.mcc", "r.0.0.0.mca", "r.4194304.0.mca", "r.٣.0.mca", "r.5.-5.mca"]
    folder = regions(tmp_path / "region", *names)
    assert found(folder) == {"unnamed": ["r.5.-5.mca"]}
    assert locate_save(folder).passed_over == (
        *("R.0.0.mca", "r.-0.1.mca", "r.0.0.0.mca", "r.00.1.mca"),
        *("r.4194304.0.mca", "r.a.0.mca", "r.٣.0.mca"),
    )


def test_of_many_strange_names_only_some_are_told(tmp_path: Path) -> None:
    level(tmp_path)
    regions(tmp_path / "region", "r.0.0.mca", *(f"r.x{number:03}.mca" for number in range(120)))
    told = locate_save(tmp_path).passed_over
    assert len(told) == 21
    assert "region/100 more files with such names" in told


def test_a_region_from_before_1_2_is_a_fault_unless_it_was_converted(tmp_path: Path) -> None:
    level(tmp_path)
    regions(tmp_path / "region", "r.0.0.mcr", "r.1.0.mcr", "r.1.0.mca")
    files = locate_save(tmp_path)
    assert [(f.dimension, f.file, f.reason, f.chunk) for f in files.faults] == [
        ("minecraft:overworld", "region/r.0.0.mcr", "mcregion-file", None)
    ]
    assert [region.file for region in files.regions] == ["region/r.1.0.mca"]


@pytest.mark.parametrize("with_folder", [False, True])
def test_an_empty_world_opens_and_has_no_chunks(tmp_path: Path, with_folder: bool) -> None:
    level(tmp_path)
    if with_folder:
        (tmp_path / "region").mkdir()
    scan = scan_save(locate_save(tmp_path), Wanted({"quayworks:shaft": ()}))
    assert len(scan.candidates) == 0
    assert scan.coverage.regions == ()
    assert sum(scan.coverage.counts().values()) == 0
    assert scan.facts.title == "Tidal quay"
    assert scan.facts.open_elsewhere is False


def test_an_empty_region_folder_alone_opens(tmp_path: Path) -> None:
    (tmp_path / "region").mkdir()
    assert found(tmp_path / "region") == {"unnamed": []}
    assert found(tmp_path) == {"unnamed": []}


def refusal(path: Path) -> SaveNotOpenedError:
    with pytest.raises(SaveNotOpenedError) as caught:
        locate_save(path)
    assert str(path) in str(caught.value)
    return caught.value


def test_a_missing_folder_is_refused(tmp_path: Path) -> None:
    assert "no such folder" in refusal(tmp_path / "nowhere").reason


@pytest.mark.parametrize("name", ["a.zip", "a.mcworld", "a.tar.gz", "A.ZIP", "a.tgz", "a.7z"])
def test_an_archive_is_to_be_unpacked_first(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"PK")
    error = refusal(tmp_path / name)
    assert "archive" in error.reason
    assert "Unpack it first" in error.remedy


def test_a_single_region_file_points_to_its_folder(tmp_path: Path) -> None:
    error = refusal(regions(tmp_path / "region") / "r.0.0.mca")
    assert str(tmp_path / "region") in error.remedy


def test_any_other_file_is_no_folder(tmp_path: Path) -> None:
    assert "not a folder" in refusal(level(tmp_path) / "level.dat").reason


def test_a_folder_without_regions_is_no_save(tmp_path: Path) -> None:
    (tmp_path / "screenshots").mkdir()
    error = refusal(tmp_path)
    assert "level.dat" in error.remedy


def test_a_folder_of_saves_names_them(tmp_path: Path) -> None:
    level(tmp_path / "harbour")
    level(tmp_path / "slipway")
    error = refusal(tmp_path)
    assert "harbour, slipway" in error.remedy


@pytest.mark.parametrize("name", ["entities", "poi"])
def test_folders_of_region_files_without_blocks_are_refused(tmp_path: Path, name: str) -> None:
    error = refusal(regions(tmp_path / name))
    assert "no blocks" in error.reason


def test_a_damaged_level_is_a_fault_and_the_games_copy_serves(tmp_path: Path) -> None:
    level(tmp_path, "Slipway")
    (tmp_path / "level.dat").rename(tmp_path / "level.dat_old")
    (tmp_path / "level.dat").write_bytes(b"nothing")
    files = locate_save(tmp_path)
    assert files.title == "Slipway"
    assert [(f.dimension, f.file, f.reason) for f in files.faults] == [
        ("", "level.dat", "bad-gzip-stream")
    ]


def test_a_region_folder_that_links_out_of_the_save_is_a_fault(tmp_path: Path) -> None:
    regions(tmp_path / "elsewhere")
    save = level(tmp_path / "quay")
    (save / "region").symlink_to(tmp_path / "elsewhere")
    (save / "dimensions/quayworks").mkdir(parents=True)
    (save / "dimensions/quayworks/tide").symlink_to(tmp_path)
    files = locate_save(save)
    assert files.regions == ()
    assert [(f.file, f.reason) for f in files.faults] == [
        ("dimensions/quayworks/tide", "link-leaves-save"),
        ("region", "link-leaves-save"),
    ]


def test_links_in_a_ring_end(tmp_path: Path) -> None:
    save = level(tmp_path)
    regions(save / "dimensions/quayworks/tide/region")
    (save / "dimensions/quayworks/tide/again").symlink_to(save / "dimensions")
    (save / "dimensions/quayworks/loop").symlink_to(save / "dimensions/quayworks/loop")
    assert list(found(save)) == ["quayworks:tide"]


def test_a_link_to_the_save_itself_may_be_given(tmp_path: Path) -> None:
    save = level(tmp_path / "quay")
    regions(save / "region")
    (tmp_path / "link").symlink_to(save)
    assert list(found(tmp_path / "link")) == ["minecraft:overworld"]


@pytest.fixture
def close() -> Iterator[Callable[[Path], None]]:
    """Take all permissions from a folder until the test ends."""
    closed: list[Path] = []

    def close_one(folder: Path) -> None:
        closed.append(folder)
        folder.chmod(0)
        if os.access(folder, os.R_OK):
            pytest.skip("this user may read everything")

    yield close_one
    for folder in closed:
        folder.chmod(0o755)


@pytest.mark.parametrize(
    ("closed", "dimension", "file"),
    [
        ("region", "minecraft:overworld", "region"),
        ("DIM1", "minecraft:the_end", "DIM1/region"),
        ("dimensions/quayworks", "", "dimensions/quayworks"),
        ("dimensions/quayworks/tide", "quayworks:tide", "dimensions/quayworks/tide/region"),
    ],
)
def test_a_folder_without_permission_is_a_fault(
    tmp_path: Path, close: Callable[[Path], None], closed: str, dimension: str, file: str
) -> None:
    save = level(tmp_path)
    for folder in ("region", "DIM1/region", "dimensions/quayworks/tide/region"):
        regions(save / folder)
    close(save / closed)
    files = locate_save(save)
    assert len(files.regions) == 2
    assert (dimension, file, "cannot-open") in [
        (f.dimension, f.file, f.reason) for f in files.faults
    ]


def test_a_save_without_permission_is_refused(
    tmp_path: Path, close: Callable[[Path], None]
) -> None:
    save = level(tmp_path / "quay")
    close(save)
    assert "cannot be listed" in refusal(save).reason


def test_dimensions_are_selected_by_name(tmp_path: Path) -> None:
    save = level(tmp_path)
    regions(save / "region", "r.0.0.mca", "r.2.0.mcr")
    regions(save / "DIM1/region", "r.1.0.mcr")
    files = locate_save(save)
    assert choose_dimensions(files, ()) is files
    chosen = choose_dimensions(files, ("minecraft:the_end",))
    assert chosen.dimensions == ("minecraft:the_end",)
    assert chosen.regions == ()
    assert [fault.file for fault in chosen.faults] == ["DIM1/region/r.1.0.mcr"]
    with pytest.raises(UsageError, match=r"quayworks:tide.*minecraft:overworld"):
        choose_dimensions(files, ("quayworks:tide",))
