"""Choosing some of a save's dimensions."""

from __future__ import annotations

from dataclasses import replace

from analyzer.base.errors import UsageError
from analyzer.save.files.save_files import SaveFiles


def choose_dimensions(files: SaveFiles, names: tuple[str, ...]) -> SaveFiles:
    """Return a save's files of some dimensions; no names means all.

    Raises
    ------
    UsageError
        For a dimension that the save does not have.
    """
    if not names:
        return files
    missing = sorted(set(names) - set(files.dimensions))
    if missing:
        there = ", ".join(files.dimensions) or "none"
        raise UsageError(f"no dimension {', '.join(missing)} in this save; it has: {there}")
    return replace(
        files,
        dimensions=tuple(sorted(set(names))),
        regions=tuple(region for region in files.regions if region.dimension in names),
        templates=tuple(one for one in files.templates if one.dimension in names),
        # Faults without a dimension concern the save as a whole.
        faults=tuple(fault for fault in files.faults if fault.dimension in ("", *names)),
    )
