"""The JSON Schema of a catalogue, made from the format's table of keys."""

from __future__ import annotations

import json
from typing import Any, Final

from analyzer.catalogue.bounds import LARGEST, Bound
from analyzer.catalogue.format import DOCUMENT
from analyzer.catalogue.port_format import KIND_PLACEMENTS, RIM
from analyzer.catalogue.shapes import (
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

_BOUNDS: Final[dict[Bound, dict[str, Any]]] = {
    Bound.ANY: {},
    Bound.NONZERO: {"not": {"const": 0}},
    Bound.POSITIVE: {"exclusiveMinimum": 0},
    Bound.NOT_NEGATIVE: {"minimum": 0},
    Bound.SHARE: {"minimum": 0, "maximum": 1},
}


def catalogue_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a catalogue's data.

    It states the structure. What it cannot state, such as whether two faces are at right angles,
    whether a case can ever hold, or how many digits a decimal has, is checked on top of it.
    """
    shared: dict[str, Any] = {}
    body = _named_schema(DOCUMENT, shared)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "lineshaft catalogue, format 1",
        **body,
        "$defs": dict(sorted(shared.items())),
    }


def schema_text() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(catalogue_schema(), indent=2, ensure_ascii=False) + "\n"


def _schema(shape: Shape, shared: dict[str, Any]) -> dict[str, Any]:
    """Return a shape's schema; tables and choices go into `shared` and are referred to."""
    match shape:
        case Text():
            schema = {
                "type": "string",
                "pattern": f"^(?:{shape.pattern})$",
                "maxLength": shape.longest,
            }
        case Word():
            schema = {"enum": list(shape.words)}
        case Exact():
            schema = {
                "type": "number",
                "minimum": -LARGEST,
                "maximum": LARGEST,
                **_BOUNDS[shape.bound],
            }
        case Fixed():
            schema = {"const": shape.value}
        case Flag():
            schema = {"type": "boolean"}
        case Whole():
            schema = {"type": "integer", "minimum": shape.least, "maximum": shape.most}
        case Many():
            schema = {
                "type": "array",
                "items": _schema(shape.item, shared),
                "minItems": shape.least,
                "maxItems": shape.most,
                **({"uniqueItems": True} if shape.distinct else {}),
            }
        case Named():
            schema = {
                "type": "object",
                "propertyNames": _schema(shape.key, shared),
                "additionalProperties": _schema(shape.value, shared),
                "minProperties": shape.least,
            }
        case Table() | Either():
            if shape.name not in shared:
                shared[shape.name] = {}
                shared[shape.name] = _named_schema(shape, shared)
            schema = {"$ref": f"#/$defs/{shape.name}"}
    return schema


def _named_schema(shape: Table | Either, shared: dict[str, Any]) -> dict[str, Any]:
    if isinstance(shape, Either):
        return {"anyOf": [_schema(option, shared) for option in shape.options]}
    properties = {
        key.name: {**_schema(key.shape, shared), "description": key.meaning} for key in shape.keys
    }
    return {
        "type": "object",
        "properties": properties,
        "required": [key.name for key in shape.keys if key.required],
        "additionalProperties": False,
        **_conditions(shape),
    }


def _conditions(table: Table) -> dict[str, Any]:
    """Return what the keys of a table ask of each other."""
    rules: list[dict[str, Any]] = []
    if table.demands is not None:
        rules += [
            {
                **_where(table.demands.key, word),
                "then": {
                    "required": list(demand.required),
                    "properties": dict.fromkeys(demand.refused, False),
                },
            }
            for word, demand in table.demands.by_word.items()
        ]
    if table.apart is not None:
        rules.append({"not": {"required": list(table.apart)}})
    if table is RIM:
        rules += [
            {
                **_where("kind", kind),
                "then": {"properties": {"placements": {"items": {"enum": list(placements)}}}},
            }
            for kind, placements in KIND_PLACEMENTS.items()
        ]
    return {"allOf": rules} if rules else {}


def _where(key: str, value: str) -> dict[str, Any]:
    return {"if": {"properties": {key: {"const": value}}, "required": [key]}}
