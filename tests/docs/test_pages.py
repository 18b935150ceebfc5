"""Pages on what the program prints: every command in them runs and prints what they show."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest

from analyzer.findings.registry import RULES
from analyzer.report.parts_csv import COLUMNS as PARTS
from analyzer.report.survey_list import COLUMNS as LIST
from tests.support.command import lineshaft

DOCS = Path(__file__).parents[2] / "docs"
SECTIONS = ("What it means", "Why it matters", "Example", "What to do", "Limits", "Source")


def examples(page: str) -> Iterator[tuple[str, list[str]]]:
    """Yield each command of a page with the lines shown below it."""
    text = (DOCS / page).read_text("utf-8")
    for block in re.findall(r"^```console\n(.*?)^```", text, re.M | re.S):
        for part in re.split(r"^\$ ", block, flags=re.M)[1:]:
            command, *shown = part.splitlines()
            yield command, shown


#: Pages whose commands run on the demo save.
PAGES = (
    "advice.md",
    "draw.md",
    "explain.md",
    "findings.md",
    "fleet.md",
    "output.md",
    "report-page.md",
    "switches.md",
)


@pytest.mark.parametrize("page", PAGES)
def test_every_command_runs_and_prints_what_the_page_shows(
    page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    count = 0
    for command, shown in examples(page):
        name, *arguments = shlex.split(command)
        assert name == "lineshaft"
        done = lineshaft(*arguments)
        assert done.status in (0, 1, 3), f"{command}: {done.err}"
        assert "\n".join(shown) in done.out, command
        count += 1
    assert count > 4


def test_every_rule_has_its_section_with_every_heading() -> None:
    text = (DOCS / "findings.md").read_text("utf-8")
    sections = dict(re.findall(r"^## (\S+)\n(.*?)(?=^## |\Z)", text, re.M | re.S))
    assert list(sections) == [rule.name for rule in RULES]
    for name, section in sections.items():
        assert tuple(re.findall(r"^\*\*(.+?)\.\*\*", section, re.M)) == SECTIONS, name


def test_the_table_of_rules_gives_their_levels() -> None:
    text = (DOCS / "findings.md").read_text("utf-8")
    rows = re.findall(r"^\| \[(\S+)\]\(#(\S+)\) \| (\w+) \|", text, re.M)
    assert rows == [(rule.name, rule.name, str(rule.level)) for rule in RULES]


def test_the_columns_shown_are_those_printed() -> None:
    text = (DOCS / "output.md").read_text("utf-8")
    assert ",".join(PARTS) in text
    assert ",".join(LIST) in text


def test_links_between_the_pages_lead_somewhere() -> None:
    for page in PAGES:
        for target in re.findall(r"\]\(([^)#]+)", (DOCS / page).read_text("utf-8")):
            assert (DOCS / target).exists(), f"{page}: {target}"
