"""JSON documents as text: plain ASCII, and one line for each entry of a long list."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

# ASCII alone: whatever the world's names hold, no terminal or encoding is troubled by it. One for
# all lines, since making one takes as long as a line.
_ENCODER: Final = json.JSONEncoder(ensure_ascii=True, allow_nan=False)

#: What stands between two entries of a list of objects.
BETWEEN_LINES: Final = ",\n"


@dataclass(frozen=True)
class Lines:
    """A list of objects as text already: there may be many, made column by column.

    Parameters
    ----------
    pieces
        Each the text of some entries, with `BETWEEN_LINES` between them; taken once.
    """

    pieces: Iterable[str]


def iter_json(document: Mapping[str, Any]) -> Iterator[str]:
    """Yield a document in pieces, its keys in the order given.

    Every key stands on a line of its own and so does every entry of a list of objects, so that
    tools that work by line can search and compare.
    """
    opening = "{\n"
    for key, value in document.items():
        yield f"{opening}{json.dumps(key)}: "
        yield from _iter_value(value)
        opening = ",\n"
    yield "\n}\n"


def encoded(value: Any) -> str:
    """Return a value as it stands in a line."""
    return _ENCODER.encode(value)


def _iter_value(value: Any) -> Iterator[str]:
    if isinstance(value, Lines):
        yield from _iter_list(value.pieces)
    elif isinstance(value, Sequence) and value and isinstance(value[0], Mapping):
        yield from _iter_list(map(encoded, value))
    else:
        yield encoded(value)


def _iter_list(pieces: Iterable[str]) -> Iterator[str]:
    opening = "[\n"
    for piece in pieces:
        yield f"{opening}{piece}"
        opening = BETWEEN_LINES
    yield "\n]" if opening == BETWEEN_LINES else "[]"
