"""Strategies for mistakes: a change that makes a catalogue wrong, whatever else is in it."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from hypothesis import strategies as st

from tests.properties.strategies_catalogues import DrawnCatalogue
from tests.properties.strategies_numbers import Literal

#: From the document's root: keys and indices.
KeyPath = tuple[str | int, ...]

#: Tables whose keys are the author's own.
OWN_KEYS = frozenset({"parts", "values", "when"})
REQUIRED = frozenset(
    {
        *("catalogue", "format", "title", "namespace", "version", "licence"),
        *("role", "entity", "pose", "kind", "teeth", "on", "port", "set_rpm", "sense"),
        *("axis", "facing", "cases", "when", "front", "property", "values", "stored"),
    }
)
REQUIRED_BY_ROLE = {"mover": {"rated_rpm", "torque"}, "machine": {"torque"}, "transmission": set()}
#: A front may also be the end of that name, which no part needs.
ENDS = "ends"
TOO_MUCH = (
    *("1e10", "-1_000_000_001", "nan", "-inf", "+inf", "1e-41", "1e999999999999999999999"),
    *("0.00000000000000000000000000000000000000001", "1e-999999999", "9" * 60, "0xffffffffff"),
)
UNKNOWN = "zz_tide"


@dataclass(frozen=True)
class Mistaken:
    """A document with a mistake, and the path that the mistake has.

    A key that is missing is on the line of the table that it belongs in.
    """

    document: dict[str, Any]
    at: KeyPath


@st.composite
def mistakes(draw: st.DrawFn, found: Sequence[DrawnCatalogue]) -> Mistaken:
    """Draw mistakes in one of some catalogues.

    A value of a wrong kind, a number beyond all bounds, an unknown key or a missing one.
    """
    document = copy.deepcopy(draw(st.sampled_from(found)).document)
    way = draw(st.sampled_from([_wrong_kind, _too_much, _unknown_key, _missing_key]))
    return way(draw, document)


def _wrong_kind(draw: st.DrawFn, document: dict[str, Any]) -> Mistaken:
    """Put a date somewhere: no value of the format is one."""
    path = draw(st.sampled_from([path for path, _ in iter_values(document)]))
    _put(document, path, date(1907, 5, 14))
    return Mistaken(document, path)


def _too_much(draw: st.DrawFn, document: dict[str, Any]) -> Mistaken:
    numbers = [path for path, value in iter_values(document) if isinstance(value, Literal)]
    if not numbers:
        return _wrong_kind(draw, document)
    path = draw(st.sampled_from(numbers))
    # Not as a text: it is to stand there without quotes.
    _put(document, path, Literal(draw(st.sampled_from(TOO_MUCH)), 0))
    return Mistaken(document, path)


def _unknown_key(draw: st.DrawFn, document: dict[str, Any]) -> Mistaken:
    tables = [
        path
        for path, value in iter_values(document)
        if isinstance(value, dict) and path[-1] not in OWN_KEYS
    ]
    path = draw(st.sampled_from([(), *tables]))
    _get(document, path)[UNKNOWN] = draw(st.sampled_from([1, "tide", [2], {"ebb": True}]))
    return Mistaken(document, (*path, UNKNOWN))


def _missing_key(draw: st.DrawFn, document: dict[str, Any]) -> Mistaken:
    keys = [path for path, _ in iter_values(document) if _is_required(document, path)]
    path = draw(st.sampled_from(keys))
    del _get(document, path[:-1])[path[-1]]
    return Mistaken(document, path[:-1])


def _is_required(document: dict[str, Any], path: KeyPath) -> bool:
    *table, key = path
    if not isinstance(key, str) or table[-1:] in ([ENDS], ["values"], ["when"]):
        return False
    if len(path) == 3 and path[0] == "parts":
        return key in REQUIRED | REQUIRED_BY_ROLE[_get(document, (*table, "role"))]
    return key in REQUIRED


def iter_values(value: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """Yield every value of a document below its root, with its path."""
    if path:
        yield path, value
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from iter_values(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from iter_values(inner, (*path, index))


def _get(document: Any, path: KeyPath) -> Any:
    for step in path:
        document = document[step]
    return document


def _put(document: Any, path: KeyPath, value: Any) -> None:
    _get(document, path[:-1])[path[-1]] = value
