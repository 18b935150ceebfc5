"""Holding JSON documents against the published schemas."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema

import analyzer.report

_SCHEMAS = Path(analyzer.report.__path__[0]) / "schemas"


def check_document(text: str, schema: str) -> Any:
    """Return a document read from its text, held against a schema by name."""
    rules = json.loads((_SCHEMAS / f"{schema}.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(rules)
    document = json.loads(text)
    jsonschema.Draft202012Validator(rules).validate(document)
    return document
