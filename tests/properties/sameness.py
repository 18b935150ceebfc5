"""A result as plain values, so that two of them can be compared whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np


def as_plain(value: Any) -> Any:
    """Return a result of any stage as nested tuples, lists and plain values."""
    if isinstance(value, np.ndarray):
        return (str(value.dtype), value.shape, value.tobytes())
    if is_dataclass(value):
        return tuple((field.name, as_plain(getattr(value, field.name))) for field in fields(value))
    if isinstance(value, Mapping):
        return sorted(((key, as_plain(item)) for key, item in value.items()), key=repr)
    if isinstance(value, tuple | list):
        return tuple(as_plain(item) for item in value)
    return value
