"""What `locate_save` finds: the files of a save that hold its blocks."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from analyzer.save.scan import Fault


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


@dataclass(frozen=True)
class SaveFiles:
    """The files of one save.

    Parameters
    ----------
    root
        The folder that was asked for.
    title
        The world's name from ``level.dat`` without control characters, else the folder's name.
    locks
        The lock files of the save; None where a bare region folder was given, whose save's lock
        is not known.
    dimensions
        Names of all dimensions, sorted, also of those without a region file.
    regions
        All region files, sorted by dimension and place.
    faults
        Files and folders that cannot be read, sorted.
    """

    root: Path
    title: str
    locks: tuple[Path, ...] | None
    dimensions: tuple[str, ...]
    regions: tuple[RegionFile, ...]
    faults: tuple[Fault, ...]
