"""What is said of paths and on standard error: safe to show whatever a path holds."""

from __future__ import annotations

import shlex
from pathlib import Path

import click

from analyzer.report.clean import shown


def say(line: str) -> None:
    """Say one line on standard error; a line break in it is written as an escape."""
    click.echo(shown(line), err=True)


def quoted(path: Path) -> str:
    """Return a path as it stands in a command; what does not print is written as an escape."""
    return shown(shlex.quote(str(path)))
