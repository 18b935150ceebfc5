"""Where reports go: standard output, or a file that is there whole or not at all."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final, TextIO

from analyzer.base.errors import UsageError
from analyzer.cli.say import drop, say

if TYPE_CHECKING:
    from pathlib import Path

# What no encoding can hold is written as an escape rather than lost or fatal.
_ERRORS: Final = "backslashreplace"


def prepare_streams() -> None:
    """Make the standard streams write UTF-8 into pipes and files, and never fail on a letter.

    A terminal keeps its own encoding.
    """
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            encoding = stream.encoding if stream.isatty() else "utf-8"
            reconfigure(encoding=encoding, errors=_ERRORS, newline="\n")


def check_target(target: Path, save: Path | None, *, overwrite: bool = True) -> None:
    """Refuse a file that must not or cannot be written, before any work is done.

    Parameters
    ----------
    target
        The file to write.
    save
        The save's folder, if there is one; nothing is written into it, or into any other save.
    overwrite
        Whether the file may exist already.

    Raises
    ------
    UsageError
        With the reason, and what to do.
    """
    place = target.resolve()
    within = [] if save is None else [save.resolve()]
    within += [folder for folder in place.parents if (folder / "level.dat").exists()]
    for folder in within:
        if place.is_relative_to(folder):
            raise UsageError(f"{target}: lies inside the save {folder}. Name a file outside it.")
    if place.is_dir():
        raise UsageError(f"{target}: is a folder. Name a file.")
    if not place.parent.is_dir():
        raise UsageError(f"{target}: its folder does not exist. Make it first.")
    if not overwrite and place.exists():
        raise UsageError(f"{target}: exists already. Name another file, or move it away.")


def write_report(pieces: Iterable[str], target: Path | None, *, quiet: bool) -> None:
    """Write a report.

    Parameters
    ----------
    pieces
        The report's text.
    target
        A file that `check_target` allowed; None: standard output, where a reader that stops
        listening ends the report quietly.
    quiet
        Whether to leave out the line on standard error that says where the report is.

    Raises
    ------
    UsageError
        Where the file cannot be written.
    """
    if target is None:
        _print(pieces)
        return
    try:
        _write_file(pieces, target.resolve())
    except OSError as error:
        reason = error.strerror or str(error)
        raise UsageError(f"{target}: cannot be written: {reason}.") from error
    if not quiet:
        say(f"written to {target}")


def write_picture(data: bytes, target: Path, *, quiet: bool) -> None:
    """Write a picture to a file that `check_target` allowed, whole or not at all.

    Raises
    ------
    UsageError
        Where the file cannot be written.
    """
    place = target.resolve()
    fresh = place.with_name(f".{place.name}.{os.getpid()}.part")
    try:
        try:
            fresh.write_bytes(data)
            fresh.replace(place)
        finally:
            fresh.unlink(missing_ok=True)
    except OSError as error:
        reason = error.strerror or str(error)
        raise UsageError(f"{target}: cannot be written: {reason}.") from error
    if not quiet:
        say(f"written to {target}")


def _print(pieces: Iterable[str]) -> None:
    # None where it was closed before the program began.
    if sys.stdout is None:
        raise UsageError("standard output: is closed. Name a file: --output FILE.")
    try:
        for piece in pieces:
            sys.stdout.write(piece)
        sys.stdout.flush()
    except BrokenPipeError:
        drop(sys.stdout)
    except OSError as error:
        drop(sys.stdout)
        reason = error.strerror or str(error)
        raise UsageError(f"standard output: cannot be written: {reason}.") from error


def _write_file(pieces: Iterable[str], place: Path) -> None:
    if place.exists() and not place.is_file():
        # A device or a pipe: there is nothing to put in its place.
        with place.open("w", encoding="utf-8", errors=_ERRORS, newline="\n") as stream:
            _write_all(pieces, stream)
        return
    fresh = place.with_name(f".{place.name}.{os.getpid()}.part")
    try:
        with fresh.open("x", encoding="utf-8", errors=_ERRORS, newline="\n") as stream:
            _write_all(pieces, stream)
        fresh.replace(place)
    finally:
        fresh.unlink(missing_ok=True)


def _write_all(pieces: Iterable[str], stream: TextIO) -> None:
    for piece in pieces:
        stream.write(piece)
