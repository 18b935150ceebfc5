"""Putting values into a block entity's data."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

from tests.judge.placed import Placement


def put(placement: Placement, path: tuple[str | int, ...], value: Any) -> Placement:
    """Return a block with a value at a path of its data; other values stay.

    A list on the way is made just long enough, of equal values. Without a path the value is a
    dictionary of what to add.
    """
    data = copy.deepcopy(placement.data)
    assert data is not None
    if not path:
        return replace(placement, data={**data, **value})
    here: Any = data
    *way, last = path
    if isinstance(last, int):
        last, value = way.pop(), [value for _ in range(last + 1)]
    for step in way:
        here = here.setdefault(step, {})
    here[last] = value
    return replace(placement, data=data)
