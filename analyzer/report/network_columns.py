"""What reports say about networks, as columns."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import count_rows
from analyzer.findings.audit import Audit


@dataclass(frozen=True, eq=False)
class NetworkColumns:
    """One row a network that was asked about, by dimension and anchor.

    Parameters
    ----------
    number
        Its number in `Networks`, int64, shape (n,).
    dimension
        Index into ``Parts.dimensions``, shape (n,).
    anchor, low, high
        Its member smallest by position, and the least and greatest coordinates of its members,
        in blocks, shape (n, 3).
    state, conflict
        `State` and `Conflict`, shape (n,).
    parts, movers, active_movers, machines, switches
        How many members it has; of these, movers, those that drive, machines, and switches.
    capacity, demand
        Index into ``Solution.powers``; demand -1 where it is unknown.
    chunks
        How many chunks its members stand in.
    cut
        Whether something that was not read may belong to it, bool.
    """

    number: npt.NDArray[np.int64]
    dimension: npt.NDArray[Any]
    anchor: npt.NDArray[np.int32]
    state: npt.NDArray[np.int8]
    conflict: npt.NDArray[np.int8]
    parts: npt.NDArray[np.int64]
    movers: npt.NDArray[np.int64]
    active_movers: npt.NDArray[np.int64]
    machines: npt.NDArray[np.int64]
    switches: npt.NDArray[np.int64]
    capacity: npt.NDArray[np.int32]
    demand: npt.NDArray[np.int32]
    low: npt.NDArray[np.int32]
    high: npt.NDArray[np.int32]
    chunks: npt.NDArray[np.int64]
    cut: npt.NDArray[np.bool_]

    def __len__(self) -> int:
        """How many networks were asked about."""
        return len(self.number)

    def __getitem__(self, rows: slice) -> NetworkColumns:
        """Return some of the rows."""
        return NetworkColumns(*(getattr(self, one.name)[rows] for one in fields(self)))

    def as_lists(self) -> Iterator[list[Any]]:
        """Iterate over the columns, in the order above, as lists of plain values."""
        return (getattr(self, one.name).tolist() for one in fields(self))


def network_columns(audit: Audit) -> NetworkColumns:
    """Return what is said about each network; without any, columns of length 0.

    Notes
    -----
    Linear in the parts, but for one sort of those that stand in another chunk than the part before.
    """
    parts, networks, solution = audit.parts, audit.networks, audit.solution
    chosen = np.flatnonzero(audit.selected)
    anchor = networks.anchor[chosen]
    xyz = parts.xyz
    members = xyz[networks.order]
    # Of no start at all numpy makes no empty table, but an error.
    least, most = (
        (bound.reduceat(members, networks.start[:-1])[chosen] if len(networks) else members[:0])
        for bound in (np.minimum, np.maximum)
    )
    movers, machines = (_count(audit, _has_role(audit, role)) for role in ("mover", "machine"))
    return NetworkColumns(
        number=chosen,
        dimension=parts.dimension[anchor],
        anchor=xyz[anchor],
        state=solution.state[chosen],
        conflict=solution.conflict[chosen],
        parts=np.diff(networks.start)[chosen],
        movers=movers[chosen],
        active_movers=_count(audit, solution.active)[chosen],
        machines=machines[chosen],
        switches=_count(audit, parts.switch_states() >= 0)[chosen],
        capacity=solution.capacity[chosen],
        demand=solution.demand[chosen],
        low=least,
        high=most,
        chunks=count_rows(len(networks), networks.network, xyz[:, 0] >> 4, xyz[:, 2] >> 4)[chosen],
        cut=solution.cut[chosen],
    )


def _has_role(audit: Audit, role: str) -> npt.NDArray[np.bool_]:
    of_type = np.array([kind.role == role for kind in audit.parts.catalogues.types], bool)
    return of_type[audit.parts.type]


def _count(audit: Audit, chosen: npt.NDArray[np.bool_]) -> npt.NDArray[np.int64]:
    networks = audit.networks
    return np.bincount(networks.network[chosen], minlength=len(networks))
