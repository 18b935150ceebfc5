"""Finding the configuration file beside a save's folder, never inside a save."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

#: Name of a configuration file that is found by itself.
CONFIG_NAME: Final = "lineshaft.toml"

_LEVEL_FILES: Final = ("level.dat", "level.dat_old")
_REGION: Final = "region"


def find_config(save: Path) -> Path | None:
    """Return the configuration file in the folder that contains a save's folder, or None.

    Parameters
    ----------
    save
        What is to be read: a save, something inside one, a region folder, a template or a folder
        of them. What lies inside a save never counts, since whoever made the save put it there:
        the outermost save around the path is what the file lies beside.
    """
    # Not resolved: a link to a save is the save's folder for whoever made the link.
    place = Path(os.path.abspath(save))  # noqa: PTH100
    around = [folder for folder in (place, *place.parents) if _is_save(folder)]
    home = around[-1] if around else place.parent if place.name == _REGION else place
    config = home.parent / CONFIG_NAME
    if not config.is_file() or any(map(_is_save, config.resolve().parents)):
        return None
    here = Path.cwd()
    return config.relative_to(here) if config.is_relative_to(here) else config


def _is_save(folder: Path) -> bool:
    return any((folder / name).exists() for name in _LEVEL_FILES)
