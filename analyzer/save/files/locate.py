"""Finding what to read from the one path that a user gives: a save, regions, or templates."""

from __future__ import annotations

import os
from dataclasses import replace
from operator import attrgetter
from pathlib import Path
from typing import Final, NoReturn

from analyzer.base.errors import SaveNotOpenedError
from analyzer.base.limits import Limits
from analyzer.save.files.dimension_folders import (
    OVERWORLD,
    REGION,
    DimensionFolder,
    FoundFolders,
    find_dimension_folders,
    region_place,
)
from analyzer.save.files.fault import Fault, fault_order
from analyzer.save.files.find_templates import (
    SUFFIX,
    TooManyError,
    find_templates,
    shown_path,
    template_file,
)
from analyzer.save.files.level import Level, clean_text, has_level, read_level
from analyzer.save.files.lock import FIRST_LOCKING
from analyzer.save.files.opening import ANYWHERE, is_file, is_folder, leaves, names_in, why
from analyzer.save.files.save_files import RegionFile, SaveFiles
from analyzer.save.files.watch import begin_watch

#: Name of the dimension of a region folder that nobody named.
UNNAMED: Final = "unnamed"

_LOCK_FILE: Final = "session.lock"
_ARCHIVES: Final = (".zip", ".mcworld", ".tar", ".gz", ".tgz", ".bz2", ".xz", ".zst", ".rar", ".7z")
_REGIONS: Final = (".mca", ".mcr", ".mcc")
_NO_BLOCKS: Final = frozenset({"entities", "poi"})
_NAMED_SAVES: Final = 5
_NAMED_ODD: Final = 20
# Of files that hold whole regions, whatever their names.
_REGION_SUFFIXES: Final = (".mca", ".mcr")
_ASK: Final = (
    "Give the folder that holds level.dat, a folder of region files (r.<x>.<z>.mca), or structure "
    f"templates ({SUFFIX})."
)


def locate_save(
    path: Path, *, dimension: str | None = None, follow_links: bool = False
) -> SaveFiles:
    """Find the region files of a save, or structure templates.

    Parameters
    ----------
    path
        The folder of a save in either layout, a dimension's folder, or a region folder; a
        structure template, or a folder with some in it or in its folders. In a folder with
        regions only those are read.
    dimension
        Name of the dimension where the path is no whole save; ``unnamed`` by default. Templates
        are named by their files: ``template:<path without .nbt>``.
    follow_links
        Whether to read what links that lead out of the save lead to; otherwise each is a fault.

    Returns
    -------
    SaveFiles
        Of an empty world: one without region files.

    Raises
    ------
    SaveNotOpenedError
        Where the path is not one of these.
    """
    if path.suffix.lower() == SUFFIX and is_file(path):
        return _single_template(path, follow_links=follow_links)
    _refuse_no_folder(path)
    root = path.resolve()
    boundary = ANYWHERE if follow_links else root
    level, level_faults = read_level(root, Limits(), boundary=boundary)
    dimensions = _find_folders(path, root, level, boundary)
    folders = list(dimensions.used)
    locks: tuple[Path, ...] | None = None
    if has_level(root) or any(found.name != OVERWORLD for found in folders):
        homes = {root, *(found.home for found in folders)}
        locks = tuple(sorted(home / _LOCK_FILE for home in homes))
    elif folders:
        folders = [DimensionFolder(dimension or UNNAMED, folders[0].folder, root, boundary)]
    elif not _is_region_folder(path, root):
        return _templates_in(path, root, boundary)
    else:
        folders = [DimensionFolder(dimension or UNNAMED, root, root, boundary)]
    regions: list[RegionFile] = []
    passed_over = [_relative(folder, root) for folder in dimensions.passed_over]
    faults = [*level_faults, *(_unlisted(folder, root) for folder in dimensions.unlisted)]
    faults += (_unfollowed(folder, root) for folder in dimensions.unfollowed)
    for found in folders:
        passed_over += _list_regions(found, root, regions, faults)
    # A save without a version is of before 1.9, or its level.dat cannot be read.
    locks_tell = level.data_version is None or level.data_version >= FIRST_LOCKING
    return SaveFiles(
        root=root,
        title=level.title or clean_text(root.name) or UNNAMED,
        locks=locks,
        dimensions=tuple(sorted(found.name for found in folders)),
        # As regions compare, but sooner: no two have one place.
        regions=tuple(sorted(regions, key=attrgetter("dimension", "rx", "rz", "file"))),
        faults=tuple(sorted(faults, key=fault_order)),
        passed_over=tuple(sorted(passed_over)),
        locks_tell=locks_tell,
        watch=begin_watch(regions, locks, locks_tell=locks_tell),
    )


def _find_folders(path: Path, root: Path, level: Level, boundary: Path) -> FoundFolders:
    try:
        return find_dimension_folders(root, level.data_version, boundary=boundary)
    except OSError as error:
        remedy = "Make the folder readable, or give a copy of it."
        raise SaveNotOpenedError(
            path, f"the folder cannot be listed ({why(error)})", remedy
        ) from error


def _unlisted(folder: Path, root: Path) -> Fault:
    detail = "the folder cannot be listed, so its dimensions are not known"
    return Fault("", folder.relative_to(root).as_posix(), None, "cannot-open", detail)


def _unfollowed(folder: Path, root: Path) -> Fault:
    detail = "the folder is a link out of the save, so its dimensions are not known"
    return Fault("", folder.relative_to(root).as_posix(), None, "link-leaves-save", detail)


def _relative(folder: Path, root: Path) -> str:
    return Path(os.path.relpath(folder, root)).as_posix()


def _list_regions(
    found: DimensionFolder, root: Path, regions: list[RegionFile], faults: list[Fault]
) -> list[str]:
    """Take in a folder's regions, and return the files in it that only look like some."""

    def fault(file: str, reason: str, detail: str) -> None:
        faults.append(Fault(found.name, file, None, reason, detail))

    relative = _relative(found.folder, root)
    if leaves(found.folder, found.boundary):
        fault(relative, "link-leaves-save", "the folder is a link out of the save")
        return []
    try:
        names = names_in(found.folder)
    except OSError as error:
        fault(relative, "cannot-open", f"the folder cannot be listed: {why(error)}")
        return []
    odd: list[str] = []
    for name in names:
        place = region_place(name)
        if place is None:
            if name.lower().endswith(_REGION_SUFFIXES):
                odd.append(name)
            continue
        file = name if relative == "." else f"{relative}/{name}"
        rx, rz, kind = place
        if kind == "mca":
            path = found.folder / name
            regions.append(RegionFile(found.name, rx, rz, file, path, found.boundary))
        elif f"r.{rx}.{rz}.mca" not in names:
            # The game leaves such files behind when it converts them; then they mean nothing.
            fault(file, "mcregion-file", "a region of the format before 1.2, too old to be read")
    told = odd[:_NAMED_ODD]
    if len(odd) > len(told):
        told.append(f"{len(odd) - len(told):,} more files with such names")
    return told if relative == "." else [f"{relative}/{name}" for name in told]


def _refuse_no_folder(path: Path) -> None:
    if is_folder(path):
        return
    if not os.path.lexists(path):
        raise SaveNotOpenedError(path, "there is no such folder or file", _ASK)
    if path.name.lower().endswith(_ARCHIVES):
        remedy = "Unpack it first, then give the folder that holds level.dat."
        raise SaveNotOpenedError(path, "this is an archive, not a folder", remedy)
    if path.suffix.lower() in _REGIONS:
        remedy = f"Give the folder that it lies in: {path.parent}"
        raise SaveNotOpenedError(path, "this is a single region file, not a folder", remedy)
    raise SaveNotOpenedError(path, "this is not a folder", _ASK)


def _is_region_folder(path: Path, root: Path) -> bool:
    holds_regions = any(region_place(name) for name in names_in(root))
    if root.name in _NO_BLOCKS and holds_regions:
        remedy = f"Give the folder {REGION} beside it, or the whole save."
        raise SaveNotOpenedError(path, "its region files hold no blocks", remedy)
    return holds_regions or root.name == REGION


def _single_template(path: Path, *, follow_links: bool) -> SaveFiles:
    file = path.resolve()
    boundary = ANYWHERE if follow_links else file.parent
    # Named as it was given, wherever a link leads.
    template = replace(template_file(path.parent, (path.name,), boundary=boundary), path=file)
    return SaveFiles(
        root=file.parent,
        title=clean_text(path.stem) or UNNAMED,
        locks=None,
        dimensions=(template.dimension,),
        regions=(),
        faults=(),
        templates=(template,),
    )


def _templates_in(path: Path, root: Path, boundary: Path) -> SaveFiles:
    try:
        found = find_templates(root, boundary=boundary)
    except TooManyError as error:
        raise SaveNotOpenedError(
            path, f"no level.dat and no region folder, and {error}", _ASK
        ) from error
    if not found.files:
        _refuse_empty(path, root)
    templates = tuple(sorted(found.files))
    return SaveFiles(
        root=root,
        title=clean_text(root.name) or UNNAMED,
        locks=None,
        dimensions=tuple(template.dimension for template in templates),
        regions=(),
        faults=tuple(sorted(found.faults, key=fault_order)),
        passed_over=tuple(sorted(shown_path(parts) for parts in found.passed_over)),
        templates=templates,
    )


def _refuse_empty(path: Path, root: Path) -> NoReturn:
    saves = [clean_text(name) for name in names_in(root) if has_level(root / name)]
    if saves:
        more = ", ..." if len(saves) > _NAMED_SAVES else ""
        remedy = f"Give one of the saves in it: {', '.join(saves[:_NAMED_SAVES])}{more}"
        raise SaveNotOpenedError(path, "this is a folder of saves", remedy)
    raise SaveNotOpenedError(
        path, "no level.dat, no region folder and no structure template are in it", _ASK
    )
