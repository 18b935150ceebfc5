"""The networks of an audit for machines: a line each, made column by column.

A world may have tens of thousands of them. Most of what is said of one is said of many others word
for word; it is written once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from analyzer.base.tables import unique_rows
from analyzer.findings.audit import Audit
from analyzer.report.cut_rows import CutRow, cuts_by_network
from analyzer.report.json_text import BETWEEN_LINES, Lines, encoded
from analyzer.report.network_columns import NetworkColumns, network_columns
from analyzer.report.quantities import quantity
from analyzer.solution.solution import Conflict, Solution, State

# Networks to a piece of text: it is some 2 MB.
_AT_ONCE: Final = 4096
_LINE: Final = (
    '{"id": %s:%d,%d,%d", "dimension": %s, %s, "anchor": [%d, %d, %d], '
    '"box": [[%d, %d, %d], [%d, %d, %d]], %s}'
)


def network_lines(audit: Audit) -> Lines:
    """Return the networks that were asked about, by dimension and anchor, as text."""
    return Lines(_iter_pieces(audit))


def _iter_pieces(audit: Audit) -> Iterator[str]:
    columns, cuts = network_columns(audit), cuts_by_network(audit)
    for start in range(0, len(columns), _AT_ONCE):
        yield _piece(audit, columns[start : start + _AT_ONCE], cuts)


def _piece(audit: Audit, rows: NetworkColumns, cuts: Mapping[int, Sequence[CutRow]]) -> str:
    names = [encoded(name) for name in audit.parts.dimensions]
    # The id begins as the dimension's name does.
    begun = [name.removesuffix('"') for name in names]
    dimensions = rows.dimension.tolist()
    anchor = rows.anchor.T.tolist()
    lines = zip(
        [begun[number] for number in dimensions],
        *anchor,
        [names[number] for number in dimensions],
        _budgets(rows, audit.solution),
        *anchor,
        *rows.low.T.tolist(),
        *rows.high.T.tolist(),
        _ends(rows, cuts, audit.taken_while_running),
        strict=True,
    )
    return BETWEEN_LINES.join([_LINE % line for line in lines])


def _budgets(rows: NetworkColumns, solution: Solution) -> list[str]:
    """Return what each network does, has, gives and asks for."""
    distinct, number = unique_rows(
        rows.state,
        rows.conflict,
        rows.parts,
        rows.movers,
        rows.active_movers,
        rows.machines,
        rows.switches,
        rows.capacity,
        rows.demand,
    )
    texts = [_budget(row, solution) for row in distinct.tolist()]
    return [texts[index] for index in number.tolist()]


def _budget(row: Sequence[int], solution: Solution) -> str:
    state, conflict, parts, movers, active_movers, machines, switches, capacity, demand = row
    capacity_power = solution.powers[capacity]
    demand_power = None if demand < 0 else solution.powers[demand]
    return _inner(
        {
            "state": str(State(state)),
            "conflict": None if conflict == Conflict.NONE else str(Conflict(conflict)),
            "parts": parts,
            "movers": movers,
            "active_movers": active_movers,
            "machines": machines,
            "switches": switches,
            **quantity("capacity", capacity_power),
            **quantity("demand", demand_power),
            **quantity("headroom", None if demand_power is None else capacity_power - demand_power),
        }
    )


def _ends(
    rows: NetworkColumns, cuts: Mapping[int, Sequence[CutRow]], taken: frozenset[int]
) -> list[str]:
    """Return how far each network reaches, where it ends unread, and whether it was written."""
    reach = rows.chunks.tolist()
    whole = {chunks: _end(chunks, (), taken=False) for chunks in dict.fromkeys(reach)}
    return [
        _end(chunks, cuts.get(number, ()), taken=number in taken)
        if number in cuts or number in taken
        else whole[chunks]
        for number, chunks in zip(rows.number.tolist(), reach, strict=True)
    ]


def _end(chunks: int, cuts: Sequence[CutRow], *, taken: bool) -> str:
    return _inner(
        {"chunks": chunks, "cut": [_cut(cut) for cut in cuts], "taken_while_running": taken}
    )


def _cut(cut: CutRow) -> dict[str, Any]:
    return {
        "at": list(cut.at),
        "towards": None if cut.towards is None else list(cut.towards),
        "reason": cut.reason,
    }


def _inner(value: Mapping[str, Any]) -> str:
    """Return an object without its braces, as a part of another's text."""
    return encoded(value)[1:-1]
