"""What each part offers to its neighbours: ends on world faces, a rim about a world axis."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.couplings.kinds import Kinds, kinds_of
from analyzer.couplings.sites import Sites, sites_of
from analyzer.parts.parts import Parts


@dataclass(frozen=True, eq=False)
class Ports:
    """Ports of n parts, in world terms.

    Parameters
    ----------
    kind
        Row in `kinds` of each part, shape (n,).
    kinds
        What parts of each kind offer.
    sites
        The cells where parts have ports.
    """

    kind: npt.NDArray[np.integer[Any]]
    kinds: Kinds
    sites: Sites

    @cached_property
    def axis(self) -> npt.NDArray[np.int8]:
        """World axis of each part's front, int8, shape (n,)."""
        axis: npt.NDArray[np.int8] = self.kinds.axis[self.kind]
        return axis

    @cached_property
    def fits(self) -> npt.NDArray[np.int16]:
        """Number of the class within which each part couples, int16, shape (n,)."""
        fits: npt.NDArray[np.int16] = self.kinds.fits[self.kind]
        return fits


def ports_of(parts: Parts) -> Ports:
    """Lay out the ports of all parts; an end or rim whose number is unusable is left out."""
    kind, kinds = kinds_of(parts)
    return Ports(kind, kinds, sites_of(parts, kind, kinds))
