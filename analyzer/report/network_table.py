"""The networks of an audit for people: those of each dimension by size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final

from analyzer.base.exact import decimal_text
from analyzer.report.clean import shown
from analyzer.report.layout import columns, heading
from analyzer.report.network_rows import NetworkRow
from analyzer.report.sentences import place
from analyzer.solution.solution import Conflict, State

#: Most networks of one dimension that are shown.
MOST_ROWS: Final = 20

_HEADER: Final = ("parts", "state", "capacity", "demand", "headroom", "first part")


def iter_network_table(rows: Sequence[NetworkRow], *, unit: str, save: str) -> Iterator[str]:
    """Yield the tables, one a dimension; nothing where there is no network.

    Parameters
    ----------
    rows
        The networks, by dimension and anchor.
    unit
        The unit of power.
    save
        How the save is called on a command line.
    """
    if not rows:
        return
    yield "\n"
    yield from heading(f"Networks by size (power in {shown(unit)})", "=")
    for dimension, group in groupby(rows, key=lambda row: row.dimension):
        largest = sorted(group, key=lambda row: (-row.parts, row.anchor))
        yield f"\n{shown(dimension)}\n"
        yield from columns([_HEADER, *map(_cells, largest[:MOST_ROWS])], right="rlrrrl")
        left = len(largest) - MOST_ROWS
        if left > 0:
            yield f"  ... and {left:,} more. All of them, with the same options:\n"
            yield f"  lineshaft networks {save} --most {len(largest)}\n"


def _cells(row: NetworkRow) -> tuple[str, ...]:
    return (
        f"{row.parts:,}",
        state_text(row),
        *power_texts(row),
        place(row.anchor),
    )


def state_text(row: NetworkRow) -> str:
    """Return a network's state, with why it conflicts, and whether it is full, cut or running."""
    text = str(row.state)
    if row.conflict != Conflict.NONE:
        text = f"{text} ({row.conflict})"
    elif row.state == State.TURNING and row.headroom_power == 0 and row.capacity_power:
        text = f"{text} (full)"
    if row.cut:
        text = f"{text}, cut"
    return f"{text}, while running" if row.taken_while_running else text


def power_texts(row: NetworkRow) -> tuple[str, str, str]:
    """Return capacity, demand and headroom; a dash where one is unknown."""
    return decimal_text(row.capacity_power), _power(row.demand_power), _power(row.headroom_power)


def _power(power: Fraction | None) -> str:
    return "-" if power is None else decimal_text(power)
