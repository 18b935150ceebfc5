"""The spanning forest of the engaged couplings: which coupling turns each part from its root."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analyzer.couplings.couplings import Couplings
from analyzer.networks.components import spanning_forest


@dataclass(frozen=True, eq=False)
class Forest:
    """A breadth-first tree for each zone, from its root.

    Parameters
    ----------
    parent
        The part before each part, int32, shape (n,); -1 for roots.
    coupling
        The first coupling to it, int32, shape (n,); -1 for roots.
    loose
        The engaged couplings outside of the trees, ascending.
    """

    parent: npt.NDArray[np.int32]
    coupling: npt.NDArray[np.int32]
    loose: npt.NDArray[np.int64]


def span_forest(
    parts: int,
    couplings: Couplings,
    chosen: npt.NDArray[np.int64],
    root: npt.NDArray[np.int32],
) -> Forest:
    """Span the zones.

    Parameters
    ----------
    parts
        How many parts there are; 0 gives an empty forest.
    couplings, chosen
        The couplings, and which of them are engaged, ascending.
    root
        The smallest part of each zone, ascending.
    """
    a, b = couplings.a[chosen], couplings.b[chosen]
    parent = spanning_forest(parts, a, b, root)
    place = np.full(parts, -1, np.int64)
    for part, before in ((b, a), (a, b)):
        # Backwards: of several couplings of one pair, the first is to remain.
        hanging = np.flatnonzero(parent[part] == before)[::-1]
        place[part[hanging]] = hanging
    hung = np.flatnonzero(parent >= 0)
    place = place[hung]
    loose = np.ones(len(chosen), bool)
    loose[place] = False
    coupling = np.full(parts, -1, np.int32)
    coupling[hung] = chosen[place]
    return Forest(parent, coupling, chosen[loose])
