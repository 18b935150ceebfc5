"""Where a part says that its partner is: the position that its data hold.

A position packed into 64 bits is three signed numbers: from 1.14 on x, z and y from the highest
bits down, before that x, y and z (x and z of 26 bits each, y of 12). Sources: the game's protocol,
wiki.vg, "Data types", revisions 6530 (before) and later; that the height of the older layout is
signed as well: github.com/ViaVersion/ViaVersion/pull/3381. Nobody is sure of the snapshots between
1.13.2 and 1.14.

A component that is not kept as an integer, or is beyond 10^9, is no position. Nothing at the path
is no link at all; something there that is no position cannot be used.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.judge.placed import Placement
from tests.judge.stored import INTEGERS, Tagged, follow, steps_of
from tests.judge.vectors import Vector, add

#: The data version of 1.14.
HEIGHT_LAST_SINCE = 1952
#: Fields of a packed position from the highest bits to the lowest.
HEIGHT_LAST = (("x", 26), ("z", 26), ("y", 12))
HEIGHT_IN_THE_MIDDLE = (("x", 26), ("y", 12), ("z", 26))


@dataclass(frozen=True)
class Named:
    """The position that a part names for its partner, or None; `usable` is False for rubbish."""

    at: Vector | None
    usable: bool = True


NOBODY = Named(None)
RUBBISH = Named(None, usable=False)


def partner_named(rule: dict[str, Any], placement: Placement, data_version: int) -> Named:
    """Return whom a part names for its partner."""
    data, path = placement.data or {}, steps_of(rule["stored"])
    if rule["form"] == "packed":
        found = follow(data, path)
        if found is None:
            return NOBODY
        if not isinstance(found, Tagged) or found.kind != "long":
            return RUBBISH
        at = unpacked(found.value, data_version)
    else:
        keys = (0, 1, 2) if rule["form"] == "list" else rule.get("names", ("x", "y", "z"))
        values = [follow(data, (*path, key)) for key in keys]
        # The root is always there; without a key of the three it holds no partner.
        if all(value is None for value in values) and (not path or follow(data, path) is None):
            return NOBODY
        if not all(_is_component(value) for value in values):
            return RUBBISH
        at = tuple(value.value for value in values)
    return Named(add(placement.at, at) if rule.get("relative", False) else at)


def _is_component(found: Any) -> bool:
    return isinstance(found, Tagged) and found.kind in INTEGERS and abs(found.value) <= 10**9


def unpacked(number: int, data_version: int) -> Vector:
    """Return the position that 64 bits hold, cut out of their text.

    >>> unpacked(-1, 3955)
    (-1, -1, -1)
    """
    bits = f"{number % 2**64:064b}"
    found = {}
    for name, width in HEIGHT_LAST if data_version >= HEIGHT_LAST_SINCE else HEIGHT_IN_THE_MIDDLE:
        field, bits = bits[:width], bits[width:]
        found[name] = int(field, 2) - (2**width if field[0] == "1" else 0)
    return (found["x"], found["y"], found["z"])
