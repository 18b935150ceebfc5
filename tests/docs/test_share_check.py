"""The page on share-check: it shows what is printed, and lists what is looked for."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from analyzer.save.disclosure.disclosure import Personal
from analyzer.save.disclosure.look_around import _FILES, _FOLDERS
from tests.docs.test_pages import DOCS, examples
from tests.support.command import lineshaft
from tests.support.demo import demo_save


def test_every_command_prints_what_the_page_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "quayworks").symlink_to(demo_save())
    monkeypatch.chdir(tmp_path)
    shown = list(examples("share-check.md"))
    assert len(shown) == 2
    for command, lines in shown:
        _, *arguments = shlex.split(command)
        assert "\n".join(lines) in lineshaft(*arguments, encoding="utf-8").out


def test_every_kind_and_name_that_is_looked_for_is_on_the_page() -> None:
    page = (DOCS / "share-check.md").read_text("utf-8")
    for kind in Personal:
        assert str(kind) in page
    for file in _FILES:
        stem = file.partition(".")[0].replace("white-list", "whitelist")
        assert f"`{file}`" in page or f"`{stem}`" in page
    for folder in _FOLDERS:
        *_, last = folder.strip("/").split("/")
        assert f"`{last}`" in page or f"`players/{last}`" in page
