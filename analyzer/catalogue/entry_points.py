"""Catalogues that installed packages offer, found without importing the packages."""

from __future__ import annotations

import importlib.util
from pathlib import Path, PurePosixPath
from typing import Final

#: Group of entry points; each value is ``package:file.toml``.
GROUP: Final = "lineshaft.catalogues"


def known_catalogues() -> tuple[str, ...]:
    """Return the names of the catalogues that installed packages offer, sorted."""
    # It takes ten milliseconds to load, and most catalogues are files.
    from importlib import metadata

    return tuple(sorted({entry.name for entry in metadata.entry_points(group=GROUP)}))


def catalogue_path(name: str) -> Path | None:
    """Return the file of a catalogue that an installed package offers.

    Returns
    -------
    Path or None
        None where no package offers that name, or the file it names is not there.
    """
    from importlib import metadata

    for entry in metadata.entry_points(group=GROUP, name=name):
        package, _, file = entry.value.partition(":")
        parts = PurePosixPath(file.strip()).parts
        if not parts or ".." in parts or parts[0] == "/":
            continue
        for folder in _folders(package.strip()):
            path = folder.joinpath(*parts)
            if path.is_file():
                return path
    return None


def _folders(package: str) -> list[Path]:
    """Return where a package's files lie, looking for its top level alone.

    Looking for a subpackage would import the package above it.
    """
    top, *below = package.split(".")
    try:
        spec = importlib.util.find_spec(top)
    except (ImportError, ValueError):
        return []
    if spec is None or spec.submodule_search_locations is None:
        return []
    return [Path(folder, *below) for folder in spec.submodule_search_locations]
