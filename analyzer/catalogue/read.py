"""Reading a catalogue's bytes: TOML with exact decimals, and the line of each key."""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.format import LARGEST_FILE
from analyzer.catalogue.notes import Notes
from analyzer.catalogue.positions import TooMuchError, key_lines

_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)\Z")


def read_file(path: Path, name: str, what: str = "a catalogue file") -> bytes:
    """Return the bytes of a catalogue, or of another TOML file of the user's.

    Parameters
    ----------
    path, name
        The file, and how mistakes call it.
    what
        What it is, as a noun clause.

    Raises
    ------
    CatalogueError
        Where it is no file, cannot be read, or is larger than a catalogue may be.
    """
    if path.is_dir():
        raise _refusal(name, 0, "found a folder", what)
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise _refusal(name, 0, "no such file", what) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _refusal(name, 0, f"cannot be read: {reason}", "a readable file") from error
    return data


def read_document(data: bytes, name: str) -> tuple[dict[str, Any], Notes]:
    """Return the document that a catalogue's bytes hold, and notes that know its lines.

    Raises
    ------
    CatalogueError
        With one mistake, where the bytes are not UTF-8, not TOML, or beyond the bounds.
    """
    if len(data) > LARGEST_FILE:
        found = f"found more than {LARGEST_FILE:,} bytes"
        raise _refusal(name, 0, found, f"a file of at most {LARGEST_FILE:,} bytes")
    try:
        # A byte-order mark is no part of the text; some editors put one there.
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _refusal(name, line, "found bytes that are not UTF-8", "UTF-8 text") from error
    try:
        lines = key_lines(text)
        document = tomllib.loads(text, parse_float=_decimal)
    except TooMuchError as error:
        raise _refusal(name, error.line, error.found, error.expected) from error
    except tomllib.TOMLDecodeError as error:
        raise _syntax(name, text, str(error)) from error
    except (RecursionError, ValueError) as error:
        raise _refusal(name, 0, "found what cannot be read as TOML", "a TOML document") from error
    return document, Notes(name, lines)


def _decimal(text: str) -> Decimal:
    try:
        return Decimal(text)
    except ArithmeticError:
        return Decimal("inf")


def _syntax(name: str, text: str, message: str) -> CatalogueError:
    place = _PLACE.search(message)
    reason = message[: place.start()] if place else message
    line = int(place[1]) if place and place[1] else text.rstrip("\n").count("\n") + 1
    found = f"not valid TOML: {reason[:1].lower()}{reason[1:]}"
    return _refusal(name, line, found, "a TOML document")


def _refusal(name: str, line: int, found: str, expected: str) -> CatalogueError:
    return CatalogueError((Mistake(name, line, "", found, expected),))
