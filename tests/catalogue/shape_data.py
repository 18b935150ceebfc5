"""Random data of the format's shapes, and data that is wrong in one place."""

from __future__ import annotations

import copy
from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.port_format import KIND_PLACEMENTS, RIM
from analyzer.catalogue.shapes import (
    Demand,
    Either,
    Exact,
    Fixed,
    Flag,
    Many,
    Named,
    Shape,
    Table,
    Text,
    Whole,
    Word,
)

LEAST = {
    Bound.ANY: -(10**9),
    Bound.NONZERO: 1,
    Bound.POSITIVE: 1,
    Bound.NOT_NEGATIVE: 0,
    Bound.SHARE: 0,
}
#: Values that are wrong in most places, each in its own way.
ODD: tuple[Any, ...] = (
    "",
    "x",
    "two words",
    "quayworks:shaft",
    "front",
    -1,
    0,
    1,
    Decimal("-0.5"),
    10**9 + 1,
    True,
    False,
    [],
    ["x", "x"],
    {},
    {"x": "x"},
    {"stored": "x", "property": "x"},
    date(1979, 5, 27),
)


def data_of(shape: Shape) -> st.SearchStrategy[Any]:
    """Return a strategy for data of a shape."""
    found: st.SearchStrategy[Any]
    match shape:
        case Text():
            found = _text(shape)
        case Word():
            found = st.sampled_from(shape.words)
        case Exact():
            whole = st.integers(LEAST[shape.bound], 1 if shape.bound is Bound.SHARE else 10**9)
            found = whole | st.sampled_from([Decimal("0.5"), Decimal("1e-9"), Decimal("1.0")])
        case Fixed():
            found = st.just(shape.value)
        case Flag():
            found = st.booleans()
        case Whole():
            found = st.integers(shape.least, shape.most)
        case Many():
            found = _list(shape)
        case Named():
            key, value = data_of(shape.key), data_of(shape.value)
            found = st.dictionaries(key, value, min_size=shape.least, max_size=3)
        case Either():
            found = st.one_of(*map(data_of, shape.options))
        case Table():
            found = _table(shape)
    return found


def _text(shape: Text) -> st.SearchStrategy[str]:
    texts = st.from_regex(shape.pattern, fullmatch=True, alphabet=st.characters(codec="utf-8"))
    return texts.filter(lambda text: len(text) <= shape.longest)


def _list(shape: Many) -> st.SearchStrategy[list[Any]]:
    items, most = data_of(shape.item), min(shape.most, 3)
    return st.lists(items, min_size=shape.least, max_size=most, unique=shape.distinct)


def _table(shape: Table) -> st.SearchStrategy[Any]:
    required = {key.name: data_of(key.shape) for key in shape.keys if key.required}
    optional = {key.name: data_of(key.shape) for key in shape.keys if not key.required}
    data = st.fixed_dictionaries(required, optional=optional)
    if shape.demands is not None or shape.apart is not None:
        data = data.flatmap(lambda table: _as_demanded(table, shape))
    return data.map(_with_placements) if shape is RIM else data


def _as_demanded(data: dict[str, Any], shape: Table) -> st.SearchStrategy[dict[str, Any]]:
    demand = Demand()
    if shape.demands is not None:
        demand = shape.demands.by_word[data[shape.demands.key]]
    refused = set(demand.refused)
    if shape.apart is not None and shape.apart[0] in data:
        refused.add(shape.apart[1])
    kept = {key: item for key, item in data.items() if key not in refused}
    shapes = {key.name: key.shape for key in shape.keys}
    added = st.fixed_dictionaries({name: data_of(shapes[name]) for name in demand.required})
    return added.map(lambda found: {**found, **kept})


def _with_placements(rim: dict[str, Any]) -> dict[str, Any]:
    possible = KIND_PLACEMENTS[rim["kind"]]
    kept = [one for one in rim.get("placements", ()) if one in possible]
    rest = {key: item for key, item in rim.items() if key != "placements"}
    return {**rest, "placements": kept} if kept else rest


def places(data: Any) -> list[tuple[str | int, ...]]:
    """Return the path of every value in some data, that of the whole (no steps) excepted."""
    items: list[tuple[str | int, Any]] = []
    if isinstance(data, dict):
        items = list(data.items())
    elif isinstance(data, list):
        items = list(enumerate(data))
    found: list[tuple[str | int, ...]] = []
    for step, item in items:
        found += [(step,), *((step, *rest) for rest in places(item))]
    return found


def holder_of(data: Any, place: tuple[str | int, ...]) -> Any:
    """Return the table or list in which a place is."""
    for step in place[:-1]:
        data = data[step]
    return data


def spoilt(draw: st.DrawFn, data: Any) -> Any:
    """Return a copy of data with one place in it made otherwise, rightly or wrongly."""
    data = copy.deepcopy(data)
    place = draw(st.sampled_from(places(data)))
    holder, last = holder_of(data, place), place[-1]
    manner = draw(st.sampled_from(["other value", "left out", "misspelt", "one more"]))
    if manner == "left out":
        del holder[last]
    elif manner == "misspelt" and isinstance(last, str):
        holder[last[:-1]] = holder.pop(last)
    elif manner == "one more" and isinstance(holder, dict):
        holder["extra"] = draw(st.sampled_from(ODD))
    elif manner == "one more":
        holder.append(copy.deepcopy(holder[0]))
    else:
        holder[last] = copy.deepcopy(draw(st.sampled_from(ODD)))
    return data
