"""A list of networks as a CSV table: docs/output.md, Networks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from analyzer.report.clean import cell
from analyzer.report.networks_list import DimensionList, ListedNetwork, Near
from analyzer.report.quantities import exact_of, number_of
from analyzer.report.tables import iter_csv
from analyzer.solution.solution import Conflict

#: The columns, in order.
COLUMNS: Final = (
    "dimension",
    "x",
    "y",
    "z",
    "network",
    "state",
    "conflict",
    "cut",
    "taken_while_running",
    "parts",
    "movers",
    "active_movers",
    "machines",
    "switches",
    "chunks",
    "capacity",
    "capacity_exact",
    "demand",
    "demand_exact",
    "headroom",
    "headroom_exact",
    "distance",
    "near_x",
    "near_y",
    "near_z",
)


def iter_networks_csv(lists: Sequence[DimensionList]) -> Iterator[str]:
    """Yield the table in pieces, by dimension and in the order asked for."""
    yield from iter_csv(COLUMNS, (_cells(network) for one in lists for network in one.networks))


def _cells(one: ListedNetwork) -> tuple[str, ...]:
    row = one.row
    return (
        cell(row.dimension),
        *map(str, row.anchor),
        cell(row.id),
        str(row.state),
        "" if row.conflict == Conflict.NONE else str(row.conflict),
        "yes" if row.cut else "no",
        "yes" if row.taken_while_running else "no",
        *map(str, (row.parts, row.movers, row.active_movers, row.machines, row.switches)),
        str(row.chunks),
        *_quantity(row.capacity_power),
        *_quantity(row.demand_power),
        *_quantity(row.headroom_power),
        *_near(one.near),
    )


def _quantity(value: Fraction | None) -> tuple[str, str]:
    number, exact = number_of(value), exact_of(value)
    return ("" if number is None else str(number), exact or "")


def _near(near: Near | None) -> tuple[str, str, str, str]:
    if near is None:
        return ("", "", "", "")
    x, y, z = map(str, near.at)
    return (f"{near.distance_blocks:.1f}", x, y, z)
