"""One row a network: what reports say about each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block, network_id
from analyzer.base.tables import unique_rows
from analyzer.findings.audit import Audit
from analyzer.solution.solution import Conflict, State


@dataclass(frozen=True)
class NetworkRow:
    """What reports say about one network.

    Parameters
    ----------
    number
        Its number in `Networks`.
    id, dimension, anchor
        Its name, where it is, and its member smallest by position.
    state, conflict
        What it does, and why it cannot.
    parts, movers, active_movers, machines, switches
        How many members it has; of these, movers, those that drive, machines, and switches.
    capacity_power, demand_power
        In the catalogues' unit; demand None where it is unknown.
    low, high
        Least and greatest coordinates of its members.
    chunks
        How many chunks its members stand in.
    cut
        Whether something that was not read may belong to it.
    taken_while_running
        Whether another program wrote any of its chunks while the scan ran.
    """

    number: int
    id: str
    dimension: str
    anchor: Block
    state: State
    conflict: Conflict
    parts: int
    movers: int
    active_movers: int
    machines: int
    switches: int
    capacity_power: Fraction
    demand_power: Fraction | None
    low: Block
    high: Block
    chunks: int
    cut: bool
    taken_while_running: bool

    @property
    def headroom_power(self) -> Fraction | None:
        """Capacity less demand, or None where demand is unknown."""
        return _headroom(self.capacity_power, self.demand_power)


@lru_cache(maxsize=65_536)
def _headroom(capacity: Fraction, demand: Fraction | None) -> Fraction | None:
    # Many networks have the same.
    return None if demand is None else capacity - demand


def iter_network_rows(audit: Audit) -> Iterator[NetworkRow]:
    """Yield the networks that were asked about, by dimension and anchor."""
    parts, networks, solution = audit.parts, audit.networks, audit.solution
    if not len(networks):
        return
    members = parts.xyz[networks.order]
    low = np.minimum.reduceat(members, networks.start[:-1])
    high = np.maximum.reduceat(members, networks.start[:-1])
    movers, machines = (_count(audit, _has_role(audit, role)) for role in ("mover", "machine"))
    active = _count(audit, solution.active)
    switches = _count(audit, parts.switch_states() >= 0)
    chunks = _chunks(audit)
    chosen = np.flatnonzero(audit.selected)
    # Plain numbers of a whole column are sooner had than one by one.
    columns = (
        chosen,
        parts.dimension[networks.anchor[chosen]],
        parts.xyz[networks.anchor[chosen]],
        solution.state[chosen],
        solution.conflict[chosen],
        np.diff(networks.start)[chosen],
        movers[chosen],
        active[chosen],
        machines[chosen],
        switches[chosen],
        low[chosen],
        high[chosen],
        chunks[chosen],
        solution.cut[chosen],
    )
    for row in zip(*(column.tolist() for column in columns), strict=True):
        number, dimension_number, anchor, state, conflict, size, *counts = row
        of_movers, of_active, of_machines, of_switches, least, most, of_chunks, cut = counts
        dimension, at = parts.dimensions[dimension_number], Block(*anchor)
        yield NetworkRow(
            number=number,
            id=network_id(dimension, at),
            dimension=dimension,
            anchor=at,
            state=State(state),
            conflict=Conflict(conflict),
            parts=size,
            movers=of_movers,
            active_movers=of_active,
            machines=of_machines,
            switches=of_switches,
            capacity_power=solution.capacity_power(number),
            demand_power=solution.demand_power(number),
            low=Block(*least),
            high=Block(*most),
            chunks=of_chunks,
            cut=cut,
            taken_while_running=number in audit.taken_while_running,
        )


def network_row(audit: Audit, network: int) -> NetworkRow:
    """Return the row of one network that was asked about.

    Raises
    ------
    StopIteration
        For a network that was not.
    """
    return next(row for row in iter_network_rows(audit) if row.number == network)


def _has_role(audit: Audit, role: str) -> npt.NDArray[np.bool_]:
    of_type = np.array([kind.role == role for kind in audit.parts.catalogues.types], bool)
    return of_type[audit.parts.type]


def _count(audit: Audit, chosen: npt.NDArray[np.bool_]) -> npt.NDArray[np.int64]:
    networks = audit.networks
    return np.bincount(networks.network[chosen], minlength=len(networks))


def _chunks(audit: Audit) -> npt.NDArray[np.int64]:
    xyz = audit.parts.xyz
    rows, _ = unique_rows(audit.networks.network, xyz[:, 0] >> 4, xyz[:, 2] >> 4)
    return np.bincount(rows[:, 0], minlength=len(audit.networks))
