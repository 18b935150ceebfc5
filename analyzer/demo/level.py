"""``level.dat``: what says that a folder is a save."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

import nbtlib

from analyzer.demo.compress import gzip_bytes
from analyzer.demo.nbt import nbt_bytes

#: Version number of saves with region files of this kind. Source: docs/save-format.md, Folders.
_ANVIL: Final = 19133
_LISTS_DIMENSIONS: Final = range(2566, 4774)


def level_dat(*, title: str, data_version: int, dimensions: Iterable[str]) -> bytes:
    """Return the bytes of a ``level.dat``, without any time in them.

    Parameters
    ----------
    title
        The world's name.
    data_version
        Data version of the program that saved last.
    dimensions
        Names of the dimensions, which some data versions list there.
    """
    data: dict[str, Any] = {
        "version": _ANVIL,
        "DataVersion": data_version,
        "LevelName": title,
        "LastPlayed": nbtlib.Long(0),
        "Version": {"Id": data_version, "Name": "written by lineshaft", "Snapshot": False},
        "WasModded": True,
    }
    if data_version in _LISTS_DIMENSIONS:
        data["WorldGenSettings"] = {
            "dimensions": {name: {"type": name} for name in sorted(dimensions)}
        }
    return gzip_bytes(nbt_bytes({"Data": data}))
