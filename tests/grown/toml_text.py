"""Writing a catalogue as TOML."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any


def toml_text(document: dict[str, Any]) -> str:
    """Write a catalogue as TOML."""
    lines = ["[catalogue]"]
    lines += [f"{key} = {_inline(value)}" for key, value in document["catalogue"].items()]
    for block, entry in document["parts"].items():
        lines += ["", f"[parts.{json.dumps(block)}]"]
        lines += [f"{key} = {_inline(value)}" for key, value in entry.items()]
    return "\n".join(lines) + "\n"


def _inline(value: Any) -> str:
    if isinstance(value, dict):
        pairs = (f"{json.dumps(key)} = {_inline(item)}" for key, item in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_inline, value)) + "]"
    if isinstance(value, bool | str):
        return json.dumps(value)
    if isinstance(value, Decimal) and value != value.to_integral_value():
        return f"{value:f}"
    return str(int(value))
