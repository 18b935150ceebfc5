"""Where a save keeps its dimensions, in the layouts that the game and its servers have used."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from analyzer.save.files.opening import ANYWHERE, is_folder, leaves, names_in

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


@dataclass(frozen=True)
class FoundFolders:
    """The region folders of a save.

    Parameters
    ----------
    used
        One a dimension, sorted by name.
    passed_over
        Further folders with region files of one of these dimensions.
    unlisted
        Folders in which there may be more dimensions, but that cannot be listed.
    unfollowed
        Folders in which there may be more dimensions, but that are links out of the save.
    """

    used: tuple[DimensionFolder, ...]
    passed_over: tuple[Path, ...]
    unlisted: tuple[Path, ...]
    unfollowed: tuple[Path, ...]


def find_dimension_folders(root: Path, data_version: int | None, *, boundary: Path) -> FoundFolders:
    """Find the region folders of a save.

    Where both layouts hold a dimension, the newer one counts, unless ``level.dat`` says that the
    game that last saved did not know it.

    Parameters
    ----------
    root
        The save's folder.
    data_version
        Of ``level.dat``; None where that is not known.
    boundary
        The folder that links must not lead out of.

    Raises
    ------
    OSError
        Where the save's folder itself cannot be listed.
    """
    old = _find_old(root, boundary)
    unlisted: list[Path] = []
    unfollowed: list[Path] = []
    together = _iter_together(root, boundary, unlisted, unfollowed)
    new = {found.name: found for found in together}
    new_counts = data_version is None or data_version >= _FIRST_TOGETHER
    beside = _find_beside(root, boundary)
    used, passed_over = [], []
    for name in sorted(old.keys() | new.keys() | beside.keys()):
        layouts = (new, old, beside) if new_counts else (old, beside, new)
        folders = [layout[name] for layout in layouts if name in layout]
        # A folder without a region file is what is left of a layout, or an empty dimension.
        filled = [folder for folder in folders if _has_regions(folder.folder)]
        used.append((filled or folders)[0])
        passed_over += [folder.folder for folder in filled[1:]]
    return FoundFolders(tuple(used), tuple(passed_over), tuple(unlisted), tuple(unfollowed))


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


def _find_old(root: Path, boundary: Path) -> Mapping[str, DimensionFolder]:
    folders = {OVERWORLD: root / REGION}
    for entry in _subfolders(root):
        if _NUMBERED.fullmatch(entry):
            folders[_OLD_FOLDERS.get(entry, entry)] = root / entry / REGION
    return {
        name: DimensionFolder(name, folder, root, boundary)
        for name, folder in folders.items()
        if _may_be_folder(folder)
    }


def _find_beside(root: Path, boundary: Path) -> Mapping[str, DimensionFolder]:
    found = {}
    around = boundary if boundary == ANYWHERE else root.parent
    for name, (suffix, inner) in _SIBLINGS.items():
        home = root.parent / f"{root.name}{suffix}"
        folder = home / inner / REGION
        if root.name and _may_be_folder(folder):
            found[name] = DimensionFolder(name, folder, home, around)
    return found


def _iter_together(
    root: Path, boundary: Path, unlisted: list[Path], unfollowed: list[Path]
) -> Iterator[DimensionFolder]:
    top = root / "dimensions"
    pending: list[tuple[str, ...]] = [()] if is_folder(top) else []
    seen: set[str] = set()
    while pending:
        parts = pending.pop()
        folder = top.joinpath(*parts)
        real = os.path.realpath(folder)
        if real in seen:
            continue
        if leaves(folder, boundary):
            unfollowed.append(folder)
            continue
        seen.add(real)
        named = len(parts) >= 2
        if named and _may_be_folder(folder / REGION):
            name = f"{parts[0]}:{'/'.join(parts[1:])}"
            yield DimensionFolder(name, folder / REGION, root, boundary)
        if len(parts) == _DEEPEST:
            continue
        try:
            entries = _subfolders(folder)
        except OSError:
            unlisted.append(folder)
            continue
        pending.extend(
            (*parts, entry)
            for entry in entries
            if _NAMESPACE.fullmatch(entry) and not (named and entry == REGION)
        )


def _subfolders(folder: Path) -> list[str]:
    return [name for name in names_in(folder) if is_folder(folder / name)]


def _may_be_folder(folder: Path) -> bool:
    try:
        return stat.S_ISDIR(folder.stat().st_mode)
    except PermissionError:
        # Whoever lists it will find that it cannot be read, and say so.
        return True
    except OSError:
        return False


def _has_regions(folder: Path) -> bool:
    try:
        return any(region_place(name) for name in names_in(folder))
    except OSError:
        return False
