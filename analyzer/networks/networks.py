"""Networks, zones and rigid shafts of the parts, for one choice of engaged couplings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analyzer.base.ratio import RatioTable


@dataclass(frozen=True, eq=False)
class GovernorEdges:
    """Engaged governors between zones; parallel arrays of length e, sorted by governor.

    Parameters
    ----------
    governed
        Row of `analyzer.couplings.couplings.Governed`, int32.
    driving, driven
        Zone of the governor and zone of the part at its governed port, int32. Where they are one
        zone the governor drives nothing, and its set speed has to be met.
    """

    governed: npt.NDArray[np.int32]
    driving: npt.NDArray[np.int32]
    driven: npt.NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Networks:
    """How n parts hang together. A network or zone is numbered by its smallest member's order.

    Parameters
    ----------
    network, zone
        Network and zone of each part, int32, shape (n,). Zones are joined by ratio couplings
        alone, networks also by what passes power without fixing a ratio.
    shaft
        Rigid shaft of each part, int32, shape (n,): parts joined end to end that turn as one.
    anchor
        Smallest member of each network, int32.
    root
        Smallest member of each zone, int32; the root of its spanning tree.
    parent, parent_coupling
        Spanning forest, breadth first from the roots, int32, shape (n,): the part before, and
        the coupling to it; -1 for roots.
    potential
        Index into `potentials`, int32, shape (n,): speed per speed of the zone's root.
    potentials
        The distinct potentials.
    disagreeing
        Engaged couplings, by number, that contradict the potentials, int32, ascending. A zone
        with one has no speed but zero.
    governors
        Engaged governors between zones.
    order, start
        Parts grouped by network, int32, shape (n,): members of network k, ascending, are
        ``order[start[k]:start[k + 1]]``.
    """

    network: npt.NDArray[np.int32]
    zone: npt.NDArray[np.int32]
    shaft: npt.NDArray[np.int32]
    anchor: npt.NDArray[np.int32]
    root: npt.NDArray[np.int32]
    parent: npt.NDArray[np.int32]
    parent_coupling: npt.NDArray[np.int32]
    potential: npt.NDArray[np.int32]
    potentials: RatioTable
    disagreeing: npt.NDArray[np.int32]
    governors: GovernorEdges
    order: npt.NDArray[np.int32]
    start: npt.NDArray[np.int32]

    def __len__(self) -> int:
        return len(self.anchor)

    def members(self, network: int) -> npt.NDArray[np.int32]:
        """Return the parts of a network, ascending."""
        return self.order[self.start[network] : self.start[network + 1]]
