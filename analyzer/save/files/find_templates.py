"""Finding the structure templates in a folder."""

from __future__ import annotations

import os
import unicodedata
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from analyzer.save.files.dimension_folders import REGION
from analyzer.save.files.fault import Fault
from analyzer.save.files.level import INVISIBLE, has_level
from analyzer.save.files.opening import is_file, is_folder, leaves, names_in, why
from analyzer.save.files.save_files import TemplateFile

#: How the name of a structure template's file ends.
SUFFIX: Final = ".nbt"

# Bounds on the search, since any folder at all may be given.
_MOST_FOLDERS: Final = 10_000
_MOST_TEMPLATES: Final = 10_000
_DEEPEST: Final = 16


class TooManyError(Exception):
    """More folders or templates than are searched; the text says which and how many."""


@dataclass
class FoundTemplates:
    """The structure templates in a folder.

    Parameters
    ----------
    files
        The templates, sorted by folder and name.
    faults
        Folders and files that cannot be looked at.
    passed_over
        Paths, in parts, of the folders that are saves.
    """

    files: list[TemplateFile] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    passed_over: list[tuple[str, ...]] = field(default_factory=list)


def find_templates(root: Path, *, boundary: Path) -> FoundTemplates:
    """Find the structure templates in a folder and the folders in it.

    Parameters
    ----------
    root
        The folder.
    boundary
        The folder that links must not lead out of.

    Raises
    ------
    TooManyError
        For a folder that is too large to be searched.
    OSError
        Where the folder itself cannot be listed.
    """
    found = FoundTemplates()
    pending: list[tuple[str, ...]] = [()]
    seen: set[str] = set()
    while pending:
        parts = pending.pop()
        folder = root.joinpath(*parts)
        real = os.path.realpath(folder)
        if real in seen:
            continue
        seen.add(real)
        if len(seen) > _MOST_FOLDERS:
            raise TooManyError(f"more than {_MOST_FOLDERS:,} folders are in it")
        try:
            names = names_in(folder)
        except OSError as error:
            if not parts:
                raise
            detail = f"the folder cannot be listed: {why(error)}"
            found.faults.append(Fault("", shown_path(parts), None, "cannot-open", detail))
            continue
        if parts and (has_level(folder) or is_folder(folder / REGION)):
            found.passed_over.append(parts)
            continue
        inner = _take_files(found, root, boundary, parts, names)
        # The last one is looked at first.
        deeper = [(*parts, name) for name in reversed(inner)]
        if len(parts) < _DEEPEST:
            pending += deeper
        else:
            found.faults += map(_too_deep, deeper)
    return found


def template_file(root: Path, parts: tuple[str, ...], *, boundary: Path) -> TemplateFile:
    """Return the template whose path in the folder `root` has these parts."""
    file = shown_path(parts)
    return TemplateFile(f"template:{file[: -len(SUFFIX)]}", file, root.joinpath(*parts), boundary)


def shown_path(parts: tuple[str, ...]) -> str:
    r"""Return a path of one line without characters that steer a terminal, one for each path.

    >>> shown_path(("spars", "jib\nboom.nbt")), shown_path(("mast\\head.nbt",))
    ('spars/jib\\u000aboom.nbt', 'mast\\u005chead.nbt')
    """
    return "/".join("".join(map(_shown, part)) for part in parts)


def _shown(character: str) -> str:
    if character == "\\" or unicodedata.category(character) in INVISIBLE:
        code = ord(character)
        return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
    return character


def _too_deep(parts: tuple[str, ...]) -> Fault:
    detail = f"folders are searched down to the {_DEEPEST}th level"
    return Fault("", shown_path(parts), None, "too-deep", detail)


def _take_files(
    found: FoundTemplates, root: Path, boundary: Path, parts: tuple[str, ...], names: list[str]
) -> list[str]:
    """Take in a folder's templates, and return the names of the folders in it."""
    inner = []
    for name in names:
        path = root.joinpath(*parts, name)
        if is_folder(path):
            if leaves(path, boundary):
                file = shown_path((*parts, name))
                detail = "the folder is a link out of the folder that was given"
                found.faults.append(Fault("", file, None, "link-leaves-save", detail))
            else:
                inner.append(name)
        elif name.endswith(SUFFIX) and (is_file(path) or path.is_symlink()):
            if len(found.files) == _MOST_TEMPLATES:
                raise TooManyError(f"more than {_MOST_TEMPLATES:,} templates are in it")
            found.files.append(template_file(root, (*parts, name), boundary=boundary))
    return inner
