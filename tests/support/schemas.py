"""Holding JSON documents against the published schemas."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
from referencing import Registry, Resource

import analyzer.report

_SCHEMAS = Path(analyzer.report.__path__[0]) / "schemas"


def check_document(text: str, schema: str) -> Any:
    """Return a document read from its text, held against a schema by name."""
    rules = json.loads((_SCHEMAS / f"{schema}.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(rules)
    document = json.loads(text)
    beside = Registry().with_resources(
        (path.name, Resource.from_contents(json.loads(path.read_text("utf-8"))))
        for path in _SCHEMAS.glob("*.schema.json")
    )
    jsonschema.Draft202012Validator(rules, registry=beside).validate(document)
    return document
