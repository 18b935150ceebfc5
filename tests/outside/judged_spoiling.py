"""Documents spoilt at one place after another, so that a schema must refuse them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

#: Objects with a key for whatever a save holds: a key more or less is no fault there.
OPEN = ("unknown", "dimensions", "blocks", "properties", "fields", "names")
#: No value of any kind that a document has.
ODD = {"of another kind": 0.5}


def iter_spoilt(document: Any) -> Iterator[str]:
    """Spoil a document in place, say how, and mend it before the next time.

    One object of each kind is spoilt: a key is taken away, a value is of another kind, a key is
    added.
    """
    for path, inner in _one_of_each_kind(document):
        where = ".".join(path)
        keyed = path[-1:] and path[-1] in OPEN
        for key, value in list(inner.items()):
            inner[key] = ODD
            yield f"{where}.{key} is of another kind"
            if not keyed:
                del inner[key]
                yield f"{where}.{key} is missing"
            inner[key] = value
        if not keyed:
            inner["quay"] = 1.5
            yield f"{where} has a key more"
            del inner["quay"]


def _one_of_each_kind(document: Any) -> list[tuple[tuple[str, ...], dict[str, Any]]]:
    found: dict[tuple[str, ...], dict[str, Any]] = {}
    for path, inner in _objects(document, ()):
        found.setdefault(path, inner)
    return list(found.items())


def _objects(value: Any, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], dict[str, Any]]]:
    if isinstance(value, dict):
        yield path, value
        for key, item in value.items():
            name = "*" if path[-1:] and path[-1] in OPEN else key
            yield from _objects(item, (*path, name))
    elif isinstance(value, list):
        for item in value:
            yield from _objects(item, (*path, "[]"))
