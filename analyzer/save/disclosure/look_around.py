"""The files of a save beside its regions: those that speak of people, and those with texts."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from analyzer.save.disclosure.disclosure import Personal, PersonalFile
from analyzer.save.files.dimension_folders import REGION
from analyzer.save.files.fault import Fault
from analyzer.save.files.opening import why

# Folders of the game and its servers by their path in the save: whatever file lies in them.
_FOLDERS: Final = {
    "playerdata/": Personal.PLAYER,
    "players/": Personal.PLAYER,
    "players/data/": Personal.PLAYER,
    "stats/": Personal.STATISTICS,
    "players/stats/": Personal.STATISTICS,
    "advancements/": Personal.ADVANCEMENTS,
    "players/advancements/": Personal.ADVANCEMENTS,
    "logs/": Personal.LOGS,
    "crash-reports/": Personal.LOGS,
}
# Files of servers, and of old servers. They lie beside the save, or in it where the save is the
# server's own folder.
_FILES: Final = {
    "ops.json": Personal.OPERATORS,
    "ops.txt": Personal.OPERATORS,
    "banned-players.json": Personal.BANS,
    "banned-players.txt": Personal.BANS,
    "banned-ips.json": Personal.BANS,
    "banned-ips.txt": Personal.BANS,
    "whitelist.json": Personal.WHITELIST,
    "white-list.txt": Personal.WHITELIST,
    "usercache.json": Personal.USERS,
    "usernamecache.json": Personal.USERS,
    "server.properties": Personal.SETTINGS,
}
_SCOREBOARD: Final = "scoreboard.dat"

# Trees in a file of their own: level.dat, its copy, maps, command storage, structures.
_TREES: Final = (".dat", ".dat_old", ".nbt")
# They hold chunks by the thousand, and no other file.
_PASSED: Final = frozenset({REGION, "entities", "poi"})

_MOST_ENTRIES: Final = 200_000
_DEEPEST: Final = 16


@dataclass(frozen=True)
class StoredTree:
    """A file that may hold a tree.

    Parameters
    ----------
    file
        Its path relative to the save, with forward slashes.
    path
        Where it lies on this machine.
    boundary
        The folder that links must not lead out of.
    """

    file: str
    path: Path
    boundary: Path


@dataclass
class Around:
    """What lies around the regions of a save.

    Parameters
    ----------
    personal
        Files that speak of people.
    trees
        Files that may hold trees, but not chunks.
    faults
        Folders that cannot be listed.
    more_files
        Whether there is more than was looked at.
    """

    personal: list[PersonalFile] = field(default_factory=list)
    trees: list[StoredTree] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    more_files: bool = False


def look_around(root: Path, homes: Iterable[Path]) -> Around:
    """Look at the names of the files of a save; none is opened, and no link is followed.

    Parameters
    ----------
    root
        The save's folder, which paths are relative to.
    homes
        The folders that it is made of.
    """
    around = Around()
    for home in homes:
        for parts in _iter_files(home, root, around):
            file = _relative(home.joinpath(*parts), root)
            kind = _kind_of(parts)
            if kind is not None:
                around.personal.append(PersonalFile(kind, file))
            if parts[-1].endswith(_TREES) and kind in (None, Personal.SCOREBOARD):
                around.trees.append(StoredTree(file, home.joinpath(*parts), home))
    return around


def _iter_files(home: Path, root: Path, around: Around) -> Iterator[tuple[str, ...]]:
    pending: list[tuple[str, ...]] = [()]
    left = _MOST_ENTRIES
    while pending:
        parts = pending.pop()
        folder = home.joinpath(*parts)
        try:
            with os.scandir(folder) as entries:
                found = sorted(
                    (entry.name, entry.is_dir(follow_symlinks=False), entry.is_symlink())
                    for entry, _ in zip(entries, range(left + 1), strict=False)
                )
        except OSError as error:
            detail = f"the folder cannot be listed: {why(error)}"
            around.faults.append(Fault("", _relative(folder, root), None, "cannot-open", detail))
            continue
        left -= len(found)
        if left < 0:
            around.more_files = True
            return
        for name, is_folder, is_link in found:
            if is_folder:
                if name not in _PASSED and len(parts) < _DEEPEST:
                    pending.append((*parts, name))
            elif not is_link:
                yield (*parts, name)


def _kind_of(parts: tuple[str, ...]) -> Personal | None:
    *folders, name = parts
    if not folders:
        return _FILES.get(name)
    if name == _SCOREBOARD and folders[0] == "data":
        return Personal.SCOREBOARD
    return _FOLDERS.get("/".join(folders) + "/")


def _relative(path: Path, root: Path) -> str:
    return Path(os.path.relpath(path, root)).as_posix()
