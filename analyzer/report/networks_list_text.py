"""A list of networks for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.report.clean import shown
from analyzer.report.finding_text import teleport
from analyzer.report.layout import columns, heading, paragraph
from analyzer.report.network_table import power_texts, state_text
from analyzer.report.networks_list import DimensionList, ListedNetwork, Order, nearest_of
from analyzer.report.quantities import counted
from analyzer.report.sentences import place


def iter_networks_text(
    audit: Audit, lists: Sequence[DimensionList], *, order: Order, near: Block | None
) -> Iterator[str]:
    """Yield a table for each dimension, and below it the way to the nearest network.

    Parameters
    ----------
    audit
        What the networks are of.
    lists
        The networks; none says that there is none.
    order, near
        What they are listed by, and the position that was asked about.
    """
    unit = shown(audit.parts.catalogues.power_unit)
    yield from heading(f"Networks by {order} (power in {unit})", "=")
    if not lists:
        yield from paragraph("There is no such network.")
    for one in lists:
        total = len(one.networks) + one.left_out
        yield "\n"
        yield from heading(f"{shown(one.dimension)}: {counted(total, 'network')}", "-")
        right = "rlrrrl" if near is None else "rrlrl"
        yield from columns([_header(near), *map(_cells, one.networks)], right=right)
        if one.left_out:
            yield f"  ... and {one.left_out:,} more. All of them: --most {total}\n"
        yield from _way(audit, one)


def _header(near: Block | None) -> tuple[str, ...]:
    if near is None:
        return ("parts", "state", "capacity", "demand", "headroom", "first part")
    # What the headroom is made of has no room beside the distance.
    return ("blocks", "parts", "state", "headroom", "nearest part")


def _cells(one: ListedNetwork) -> tuple[str, ...]:
    parts, state = f"{one.row.parts:,}", state_text(one.row)
    capacity, demand, headroom = power_texts(one.row)
    if one.near is None:
        return (parts, state, capacity, demand, headroom, place(one.row.anchor))
    return (f"{one.near.distance_blocks:,.0f}", parts, state, headroom, place(one.near.at))


def _way(audit: Audit, one: DimensionList) -> Iterator[str]:
    nearest = nearest_of(one.networks)
    if nearest is None or nearest.near is None:
        return
    yield f"  nearest of them: {nearest.row.id}\n"
    command = teleport(audit, one.dimension, place(nearest.near.at))
    if command is not None:
        yield f"  {command}\n"
