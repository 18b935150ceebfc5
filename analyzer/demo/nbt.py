"""NBT from plain values, with nbtlib."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import Any, Final

import nbtlib

#: Plain types and their tags; a truth value is an integer too, so it comes first.
_PLAIN: Final = (
    (bool, nbtlib.Byte),
    (int, nbtlib.Int),
    (float, nbtlib.Double),
    (str, nbtlib.String),
)


def to_tag(value: Any) -> Any:
    """Turn a value into an NBT tag.

    Truth values become bytes, integers 4-byte integers, other numbers 8-byte floats, texts
    strings, mappings compounds, lists and tuples lists; an NBT tag stays what it is.

    Raises
    ------
    TypeError
        For any other value.

    >>> to_tag({"Rpm": 8, "Wet": True, "Drops": [0.5]})
    Compound({'Rpm': Int(8), 'Wet': Byte(1), 'Drops': List[Double]([Double(0.5)])})
    """
    if isinstance(value, nbtlib.Base):
        return value
    if isinstance(value, Mapping):
        return nbtlib.Compound({key: to_tag(item) for key, item in value.items()})
    if isinstance(value, list | tuple):
        return nbtlib.List([to_tag(item) for item in value])
    for kind, tag in _PLAIN:
        if isinstance(value, kind):
            return tag(value)
    raise TypeError(f"{type(value).__name__} has no NBT tag")


def nbt_bytes(root: Mapping[str, Any]) -> bytes:
    """Write a root compound without a name, as the game's files have it.

    >>> nbt_bytes({"Rpm": 8}).hex()
    '0a000003000352706d0000000800'
    """
    out = io.BytesIO()
    nbtlib.File(to_tag(root)).write(out)
    return out.getvalue()
