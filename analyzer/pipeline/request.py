"""What is asked about: a box."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts

#: Two opposite corners; both belong to the box.
Box: TypeAlias = tuple[Block, Block]


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
