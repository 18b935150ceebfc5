"""The couplings of one zone as a graph to walk in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.couplings.couplings import Couplings
from analyzer.networks.networks import Networks

#: (neighbour, coupling) pairs of each part, in order of position.
Neighbours: TypeAlias = dict[int, list[tuple[int, int]]]


@dataclass(frozen=True, eq=False)
class ByZone:
    """Couplings grouped by zone, so that one zone is looked at without reading the others.

    Parameters
    ----------
    order
        Coupling numbers by (zone, number), int64.
    start
        Zone k has ``order[start[k]:start[k + 1]]``, int64.
    """

    order: npt.NDArray[np.int64]
    start: npt.NDArray[np.int64]

    @classmethod
    def of(cls, couplings: Couplings, networks: Networks, numbers: npt.NDArray[Any]) -> ByZone:
        """Group couplings, given by number in ascending order, by the zone of their parts."""
        zones = networks.zone[couplings.a[numbers]]
        order = np.argsort(zones, kind="stable")
        start = np.searchsorted(zones[order], np.arange(len(networks.root) + 1))
        return cls(order=numbers[order].astype(np.int64), start=start)

    def __getitem__(self, zone: int) -> list[int]:
        """Return the numbers of a zone's couplings, ascending."""
        found: list[int] = self.order[self.start[zone] : self.start[zone + 1]].tolist()
        return found

    def occupied(self) -> list[int]:
        """Return the zones with any such coupling, ascending."""
        found: list[int] = np.flatnonzero(np.diff(self.start)).tolist()
        return found


def neighbours_of(couplings: Couplings, numbers: Iterable[int]) -> Neighbours:
    """Return who is coupled to whom by some couplings.

    Parameters
    ----------
    couplings
        All couplings, sorted by their parts.
    numbers
        Coupling numbers, ascending. With those, every part's neighbours come out in order of
        position, and a pair's several couplings by number. None gives an empty mapping.
    """
    found: Neighbours = {}
    for number in numbers:
        a, b = int(couplings.a[number]), int(couplings.b[number])
        found.setdefault(a, []).append((b, number))
        found.setdefault(b, []).append((a, number))
    return found
