"""What a start costs: nothing is imported that is not needed."""

from __future__ import annotations

import subprocess
import sys
from importlib import import_module
from importlib.metadata import version

import click
import pytest

from analyzer.cli.main import COMMANDS
from analyzer.report.version import VERSION

HEAVY = {
    "analyzer.catalogue",
    "analyzer.findings",
    "analyzer.save",
    "deflate",
    "email",
    "importlib.metadata",
    "logging",
    "lz4",
    "multiprocessing",
    "nbtlib",
    "networkx",
    "numpy",
    "platformdirs",
    "scipy",
}


def loaded_by(*arguments: str) -> set[str]:
    """Return the modules that a command has imported when it ends."""
    script = (
        "import sys\n"
        "from analyzer.cli.main import run\n"
        f"run({list(arguments)!r})\n"
        "print('loaded', *sys.modules, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-c", f"import sys; sys.path[:] = {sys.path!r}\n{script}"],
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stderr.split("loaded ", 1)[1].split())


@pytest.mark.parametrize("option", ["--version", "--help", "-h"])
def test_version_and_help_import_nothing_heavy_and_no_command(option: str) -> None:
    loaded = loaded_by(option)
    assert loaded & HEAVY == set()
    commands = {name for name in COMMANDS if f"analyzer.cli.{name}" in loaded}
    assert commands == set()


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_a_command_imports_nothing_heavy(command: str) -> None:
    assert loaded_by(command, "--help") & HEAVY == set()


@pytest.mark.parametrize("command", COMMANDS)
def test_the_list_of_commands_says_what_each_says_of_itself(command: str) -> None:
    found: click.Command = import_module(f"analyzer.cli.{command.replace('-', '_')}").command
    assert COMMANDS[command] == found.get_short_help_str(limit=80)


def test_the_version_is_that_of_the_installed_package() -> None:
    assert version("lineshaft") == VERSION
