"""What `locate_save` finds: the files of a save that hold its blocks, or structure templates."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from analyzer.save.files.fault import Fault

if TYPE_CHECKING:
    from analyzer.save.files.watch import Watch


@dataclass(frozen=True, order=True)
class RegionFile:
    """One region file.

    Parameters
    ----------
    dimension
        Its dimension's name.
    rx, rz
        Its place, in regions.
    file
        Its path relative to the save, with forward slashes, as faults give it.
    path
        Where it lies on this machine.
    boundary
        The folder that links must not lead out of.
    """

    dimension: str
    rx: int
    rz: int
    file: str
    path: Path
    boundary: Path


@dataclass(frozen=True, order=True)
class TemplateFile:
    """One structure template, a dimension of its own.

    Parameters
    ----------
    dimension
        Its dimension's name, such as ``template:quay/crane``.
    file, path, boundary
        As of a region file.
    """

    dimension: str
    file: str
    path: Path
    boundary: Path


#: What is read by one call.
Source: TypeAlias = RegionFile | TemplateFile


@dataclass(frozen=True)
class SaveFiles:
    """The files of one save, or some structure templates; never both.

    Parameters
    ----------
    root
        The folder that was asked for.
    title
        The world's name from ``level.dat`` without control characters, else the name of the
        folder or template.
    locks
        The lock files of the save; None where a bare region folder or a template was given, whose
        save's lock is not known.
    dimensions
        Names of all dimensions, sorted, also of those without a region file. Each template is one.
    regions
        All region files, sorted by dimension and place.
    faults
        Files and folders that cannot be read, sorted.
    passed_over
        Folders of a dimension that was found in another folder too, saves among templates, and
        files that look like regions but have names that the game never reads; relative to the
        save, sorted.
    templates
        All templates, sorted by dimension.
    locks_tell
        Whether the game that saved it holds a lock while it runs.
    watch
        What the region files were like when they were found; None where that does not matter.
    """

    root: Path
    title: str
    locks: tuple[Path, ...] | None
    dimensions: tuple[str, ...]
    regions: tuple[RegionFile, ...]
    faults: tuple[Fault, ...]
    passed_over: tuple[str, ...] = ()
    templates: tuple[TemplateFile, ...] = ()
    locks_tell: bool = True
    watch: Watch | None = field(default=None, compare=False, repr=False)

    @property
    def sources(self) -> tuple[Source, ...]:
        """Everything to read, in a fixed order."""
        return (*self.regions, *self.templates)
