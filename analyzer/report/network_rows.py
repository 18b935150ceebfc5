"""One row a network: what reports say about each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from analyzer.base.place import Block, network_id
from analyzer.findings.audit import Audit
from analyzer.report.network_columns import network_columns
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
    parts, solution = audit.parts, audit.solution
    columns = network_columns(audit)
    # Plain numbers of a whole column are sooner had than one by one.
    for row in zip(*columns.as_lists(), strict=True):
        number, dimension_number, anchor, state, conflict, size, *counts = row
        of_movers, of_active, of_machines, of_switches, *rest = counts
        capacity, demand, least, most, of_chunks, cut = rest
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
            capacity_power=solution.powers[capacity],
            demand_power=None if demand < 0 else solution.powers[demand],
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
