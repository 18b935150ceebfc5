"""Where a save keeps its dimensions, in the layouts that the game and its servers have used."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from analyzer.save.opening import leaves

OVERWORLD: Final = "minecraft:overworld"
NETHER: Final = "minecraft:the_nether"
END: Final = "minecraft:the_end"

#: Name of the folder that holds a dimension's region files.
REGION: Final = "region"

# Folders of 1.21.11 and before, in the save itself.
_OLD_FOLDERS: Final = {"DIM-1": NETHER, "DIM1": END}
_NUMBERED: Final = re.compile(r"DIM-?[0-9]+")

# The same two folders beside the save, as servers of one family keep them.
_SIBLINGS: Final = {NETHER: ("_nether", "DIM-1"), END: ("_the_end", "DIM1")}

# First data version (26.1-snapshot-6) that keeps all dimensions under `dimensions`.
_FIRST_TOGETHER: Final = 4774

# Parts of a dimension's name; other folders cannot belong to a dimension of the game.
_NAMESPACE: Final = re.compile(r"[a-z0-9_.-]+")
_DEEPEST: Final = 16

_REGION_NAME: Final = re.compile(r"r\.(-?[0-9]+)\.(-?[0-9]+)\.(mca|mcr)")
# Regions whose blocks have positions of 32 bits.
_PLACES: Final = range(-(2**22), 2**22)


@dataclass(frozen=True)
class DimensionFolder:
    """A dimension's region folder.

    `home` is the folder of the save that it belongs to, which servers of one family split in
    three; `boundary` is the folder that links must not lead out of.
    """

    name: str
    folder: Path
    home: Path
    boundary: Path


def find_dimension_folders(root: Path, data_version: int | None) -> list[DimensionFolder]:
    """Return the region folders of a save, one a dimension, sorted by name.

    Where both layouts hold a dimension, the newer one counts, unless ``level.dat`` says that the
    game that last saved did not know it.

    Parameters
    ----------
    root
        The save's folder.
    data_version
        Of ``level.dat``; None where that is not known.
    """
    old = _find_old(root)
    new = dict(_iter_together(root))
    new_counts = data_version is None or data_version >= _FIRST_TOGETHER
    found = []
    for name in sorted(old.keys() | new.keys()):
        folders = [layout[name] for layout in (new, old) if name in layout]
        if not new_counts:
            folders.reverse()
        # A folder without a region file is what is left of a layout, or an empty dimension.
        filled = [folder for folder in folders if _has_regions(folder.folder)]
        found.append((filled or folders)[0])
    return found


def region_place(name: str) -> tuple[int, int, str] | None:
    """Return a region file's place and kind by its name; None for any other name.

    >>> region_place("r.-1.0.mca"), region_place("r.01.0.mca")
    ((-1, 0, 'mca'), None)
    """
    match = _REGION_NAME.fullmatch(name)
    if match is None:
        return None
    rx, rz = int(match[1]), int(match[2])
    # The game makes the name from the numbers, so "-0" and "01" are names that it never reads.
    if name != f"r.{rx}.{rz}.{match[3]}" or rx not in _PLACES or rz not in _PLACES:
        return None
    return rx, rz, match[3]


def _find_old(root: Path) -> Mapping[str, DimensionFolder]:
    folders = {OVERWORLD: root / REGION}
    for entry in _subfolders(root):
        if _NUMBERED.fullmatch(entry):
            folders[_OLD_FOLDERS.get(entry, entry)] = root / entry / REGION
    found = {
        name: DimensionFolder(name, folder, root, root)
        for name, folder in folders.items()
        if folder.is_dir()
    }
    for name, (suffix, inner) in _SIBLINGS.items():
        home = root.parent / f"{root.name}{suffix}"
        folder = home / inner / REGION
        if name not in found and root.name and folder.is_dir():
            found[name] = DimensionFolder(name, folder, home, root.parent)
    return found


def _iter_together(root: Path) -> Iterator[tuple[str, DimensionFolder]]:
    top = root / "dimensions"
    pending: list[tuple[str, ...]] = [()]
    seen: set[str] = set()
    while pending:
        parts = pending.pop()
        folder = top.joinpath(*parts)
        real = os.path.realpath(folder)
        if real in seen:
            continue
        seen.add(real)
        named = len(parts) >= 2
        if named and (folder / REGION).is_dir():
            name = f"{parts[0]}:{'/'.join(parts[1:])}"
            yield name, DimensionFolder(name, folder / REGION, root, root)
        if len(parts) == _DEEPEST or leaves(folder, root):
            continue
        pending.extend(
            (*parts, entry)
            for entry in _subfolders(folder)
            if _NAMESPACE.fullmatch(entry) and not (named and entry == REGION)
        )


def _subfolders(folder: Path) -> list[str]:
    try:
        with os.scandir(folder) as entries:
            return sorted(entry.name for entry in entries if entry.is_dir())
    except OSError:
        return []


def _has_regions(folder: Path) -> bool:
    try:
        with os.scandir(folder) as entries:
            return any(region_place(entry.name) for entry in entries)
    except OSError:
        return False
