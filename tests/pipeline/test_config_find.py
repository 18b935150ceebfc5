"""Where a configuration is looked for: beside the save's folder, and never inside a save."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.pipeline.config_find import CONFIG_NAME, find_config


@pytest.fixture
def save(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A yard with a save; the working directory is somewhere else."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    folder = tmp_path / "yard" / "save"
    (folder / "region").mkdir(parents=True)
    (folder / "level.dat").touch()
    return folder


def config_in(folder: Path) -> Path:
    (folder / CONFIG_NAME).touch()
    return folder / CONFIG_NAME


def test_the_file_in_the_folder_that_contains_the_saves_folder_is_found(save: Path) -> None:
    assert find_config(save) is None
    beside = config_in(save.parent)
    assert find_config(save) == beside


def test_a_part_of_a_save_has_the_file_beside_the_whole_save(save: Path) -> None:
    beside = config_in(save.parent)
    assert find_config(save / "region") == beside
    assert find_config(save / "dimensions" / "quay" / "loft") == beside
    assert find_config(save / "generated" / "quay" / "crane.nbt") == beside


def test_no_file_inside_a_save_is_ever_found(save: Path) -> None:
    for folder in (save, save / "region", save / "generated" / "quay" / "structures"):
        folder.mkdir(parents=True, exist_ok=True)
        config_in(folder)
    for path in (save, save / "region", save / "generated" / "quay" / "structures" / "x.nbt"):
        assert find_config(path) is None


def test_a_save_within_a_save_is_inside_one(save: Path) -> None:
    inner = save / "backups" / "old"
    inner.mkdir(parents=True)
    (inner / "level.dat").touch()
    config_in(inner.parent)
    assert find_config(inner) is None


def test_a_link_into_a_save_counts_as_inside(save: Path) -> None:
    config_in(save)
    (save.parent / CONFIG_NAME).symlink_to(save / CONFIG_NAME)
    assert find_config(save) is None


def test_a_save_that_has_lost_its_level_file_is_a_save_to_its_region_folder(save: Path) -> None:
    (save / "level.dat").unlink()
    config_in(save)
    assert find_config(save / "region") is None


def test_the_games_copy_of_the_level_file_marks_a_save_too(save: Path) -> None:
    (save / "level.dat").rename(save / "level.dat_old")
    config_in(save)
    assert find_config(save / "generated") is None


def test_a_linked_save_has_the_file_beside_the_link(save: Path, tmp_path: Path) -> None:
    (tmp_path / "links").mkdir()
    (tmp_path / "links" / "quay").symlink_to(save)
    beside = config_in(tmp_path / "links")
    assert find_config(tmp_path / "links" / "quay") == beside


def test_templates_have_the_file_in_the_folder_that_they_lie_in(tmp_path: Path) -> None:
    (tmp_path / "crane.nbt").touch()
    (tmp_path / "cranes").mkdir()
    beside = config_in(tmp_path)
    config_in(tmp_path / "cranes")
    assert find_config(tmp_path / "crane.nbt") == beside
    assert find_config(tmp_path / "cranes") == beside


def test_a_file_below_the_working_directory_is_named_from_there(
    save: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    config_in(save.parent)
    monkeypatch.chdir(save.parent)
    assert find_config(Path("save")) == Path(CONFIG_NAME)
    monkeypatch.chdir(save)
    assert find_config(Path()) == save.parent / CONFIG_NAME


def test_a_folder_of_that_name_is_no_configuration(save: Path) -> None:
    (save.parent / CONFIG_NAME).mkdir()
    assert find_config(save) is None
