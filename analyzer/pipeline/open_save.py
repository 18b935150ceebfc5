"""The files of the save that is asked about."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from analyzer.save.files.locate import locate_save
from analyzer.save.files.save_files import SaveFiles


def open_save(
    path: Path,
    *,
    dimensions: Sequence[str] = (),
    dimension_name: str | None = None,
    follow_links: bool = False,
) -> SaveFiles:
    """Locate a save's files.

    Parameters
    ----------
    path
        Folder of a save or server, a bare region folder, a structure template, or a folder of
        templates.
    dimensions
        Names of the dimensions that are asked about. A bare region folder, whose dimension has
        no name of its own, is given the name if there is just one.
    dimension_name
        Name of the dimension that a bare region folder holds, whatever is asked about.
    follow_links
        Whether to read what links that lead out of the save lead to.

    Raises
    ------
    SaveNotOpenedError
        Where there is no save that can be opened.
    """
    if dimension_name is None and len(set(dimensions)) == 1:
        dimension_name = dimensions[0]
    return locate_save(path, dimension=dimension_name, follow_links=follow_links)
