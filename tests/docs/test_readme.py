"""The README says what the program says."""

import re
from pathlib import Path

from click.testing import CliRunner

from analyzer.cli.commands import cli

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")


def blocks(language):
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


def test_every_excerpt_stands_in_the_demos_report():
    report = CliRunner().invoke(cli, ["demo"]).stdout
    assert len(blocks("text")) == 3
    for excerpt in blocks("text"):
        assert excerpt in report + "\n"


def test_every_page_it_links_to_is_there():
    pages = re.findall(r"\]\(([^)#]+)", README)
    assert pages
    assert all((ROOT / page).is_file() for page in pages)


def test_every_command_it_shows_is_one_of_the_programs():
    commands = re.findall(r"\blineshaft ([\w-]+)", "".join(blocks("sh")))
    assert set(commands) <= set(cli.list_commands(None))
    assert {"audit", "parts", "survey", "catalogue"} <= set(commands)
