"""What is asked about: a save's files, its dimensions, a box."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.save.locate import locate_save
from analyzer.save.save_files import SaveFiles

#: Two opposite corners; both belong to the box.
Box: TypeAlias = tuple[Block, Block]


def open_save(
    path: Path, *, dimensions: Sequence[str] = (), dimension_name: str | None = None
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

    Raises
    ------
    SaveNotOpenedError
        Where there is no save that can be opened.
    """
    if dimension_name is None and len(set(dimensions)) == 1:
        dimension_name = dimensions[0]
    return locate_save(path, dimension=dimension_name)


def select_networks(parts: Parts, networks: Networks, box: Box | None) -> npt.NDArray[np.bool_]:
    """Tell which networks are asked about: those with a part in the box, in any dimension.

    Returns
    -------
    selected
        Bool, one a network; all where there is no box.
    """
    if box is None:
        return np.ones(len(networks), bool)
    low, high = np.minimum(*box), np.maximum(*box)
    inside = ((parts.xyz >= low) & (parts.xyz <= high)).all(axis=1)
    selected = np.zeros(len(networks), bool)
    selected[networks.network[inside]] = True
    return selected
