"""The page on configuration shows what the program does."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from analyzer.base.errors import ConfigError
from analyzer.pipeline.config_format import TABLES
from analyzer.pipeline.config_load import load_config
from tests.pipeline.config_page import PAGE, with_tables
from tests.support.command import lineshaft

TEXT = PAGE.read_text("utf-8")
_BLOCK = re.compile(r"^```(\w+)(?: (\w+))?\n(.*?)^```$", re.DOTALL | re.MULTILINE)
BLOCKS = _BLOCK.findall(TEXT)


def test_the_key_tables_are_those_of_the_format() -> None:
    assert with_tables(TEXT) == TEXT
    assert re.findall(r"<!-- keys: (\w+)", TEXT) == [table.name for table in TABLES]


def test_the_example_runs_on_the_demo_and_prints_what_the_page_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert lineshaft("demo", "--folder", "quayworks").status == 0
    (example,) = [text for language, note, text in BLOCKS if language == "toml" and not note]
    Path("lineshaft.toml").write_text(example, "utf-8")
    (session,) = [text for language, _, text in BLOCKS if language == "console"]
    command, *shown = session.removeprefix("$ ").splitlines()
    done = lineshaft(*shlex.split(command)[1:])
    assert done.err == "settings from lineshaft.toml\n"
    assert "\n".join(shown) in done.out


def test_the_mistakes_are_those_that_are_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (wrong,) = [text for _, note, text in BLOCKS if note == "mistakes"]
    said = [text for language, _, text in BLOCKS if language == "text"][-1]
    Path("lineshaft.toml").write_text(wrong, "utf-8")
    with pytest.raises(ConfigError) as caught:
        load_config(Path("lineshaft.toml"))
    assert str(caught.value).splitlines() == said.splitlines()


def test_links_of_the_page_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)", TEXT):
        assert (PAGE.parent / target).exists(), target
