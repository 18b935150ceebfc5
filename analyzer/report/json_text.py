"""JSON documents as text: plain ASCII, and one line for each entry of a long list."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

# ASCII alone: whatever the world's names hold, no terminal or encoding is troubled by it. One for
# all lines, since making one takes as long as a line.
_ENCODER: Final = json.JSONEncoder(ensure_ascii=True, allow_nan=False)


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


def _iter_value(value: Any) -> Iterator[str]:
    if isinstance(value, Sequence) and value and isinstance(value[0], Mapping):
        opening = "[\n"
        for entry in value:
            yield f"{opening}{_line(entry)}"
            opening = ",\n"
        yield "\n]"
    else:
        yield _line(value)


def _line(value: Any) -> str:
    return _ENCODER.encode(value)
