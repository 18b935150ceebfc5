"""What a page carries of an audit, as one document that its script reads.

Whatever repeats stands once in a table and is named by its number: texts, speeds, amounts of power,
ratios. What there is one of a part, coupling or step of a witness is a column of integers
(`analyzer.report.page.columns`). Entries of lists that run in parallel belong together.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, Final

import numpy as np

from analyzer.base.tables import Interner
from analyzer.findings.audit import Audit
from analyzer.report.clean import shown
from analyzer.report.drawing.looks import SYMBOLS
from analyzer.report.drawing.make_sheet import make_sheet
from analyzer.report.drawing.sheet import Sheet
from analyzer.report.finding_text import teleport
from analyzer.report.lookup import is_template
from analyzer.report.network_rows import NetworkRow
from analyzer.report.network_table import state_text
from analyzer.report.page.change_data import Tables, change_lists
from analyzer.report.page.columns import coded
from analyzer.report.page.finding_data import finding_lists
from analyzer.report.page.proposals import Proposal
from analyzer.report.page.spots import Spots
from analyzer.report.quantities import amount, exact_of, number_of, ratio_text

#: Grows with any change of the document.
FORMAT: Final = 2


def page_document(
    audit: Audit, rows: Sequence[NetworkRow], proposals: Sequence[Proposal] = ()
) -> dict[str, Any]:
    """Return the document.

    Parameters
    ----------
    audit
        What to show.
    rows
        The networks that were asked about.
    proposals
        Changes to them, each to be shown over the drawing.
    """
    sheet = make_sheet(audit)
    spots = Spots(sheet)
    tables = Tables(Interner(), Interner(sheet.speeds), Interner(sheet.powers))
    texts = tables.texts
    networks = _networks(rows, sheet, texts, tables.powers)
    # Findings may lie in a dimension where no part was found.
    dimensions = Interner(sheet.dimensions)
    findings = finding_lists(audit, rows, spots, dimensions=dimensions, texts=texts)
    changes = change_lists(audit, proposals, rows, spots=spots, tables=tables)
    return {
        "format": FORMAT,
        "unit": shown(audit.parts.catalogues.power_unit),
        "dimensions": [_dimension(audit, name) for name in dimensions.items],
        "symbols": list(SYMBOLS),
        "looks": [[look.block, look.role, SYMBOLS.index(look.symbol)] for look in sheet.looks],
        "speeds": list(map(_quantity, tables.speeds.items)),
        "powers": list(map(_quantity, tables.powers.items)),
        "ratios": [[ratio_text(ratio), number_of(ratio)] for ratio in sheet.ratios],
        "networks": networks,
        "findings": findings,
        "changes": changes,
        "texts": list(texts.items),
        "parts": _parts(sheet, rows),
        "couplings": _couplings(sheet),
    }


def _dimension(audit: Audit, name: str) -> dict[str, Any]:
    return {
        "name": shown(name),
        "template": is_template(audit, name),
        "teleport": teleport(audit, name, ""),
    }


def _quantity(value: Fraction | None) -> list[Any]:
    """Return a quantity as number and text, and exactly where the text is not exact."""
    text = amount(value, "").strip()
    if value is None or not text.startswith(("~", "about")):
        return [number_of(value), text]
    return [number_of(value), text, exact_of(value)]


def _networks(
    rows: Sequence[NetworkRow],
    sheet: Sheet,
    texts: Interner[str],
    powers: Interner[Fraction | None],
) -> dict[str, list[Any]]:
    dimensions = {name: number for number, name in enumerate(sheet.dimensions)}
    return {
        "dimension": [dimensions[row.dimension] for row in rows],
        "anchor": [list(row.anchor) for row in rows],
        "state": [int(row.state) for row in rows],
        "told": [texts(state_text(row)) for row in rows],
        "parts": [row.parts for row in rows],
        "movers": [row.movers for row in rows],
        "active": [row.active_movers for row in rows],
        "machines": [row.machines for row in rows],
        "switches": [row.switches for row in rows],
        "chunks": [row.chunks for row in rows],
        "capacity": [powers(row.capacity_power) for row in rows],
        "demand": [powers(row.demand_power) for row in rows],
        "headroom": [powers(row.headroom_power) for row in rows],
    }


def _parts(sheet: Sheet, rows: Sequence[NetworkRow]) -> dict[str, Any]:
    parts = sheet.parts
    number = np.zeros(1 + max((row.number for row in rows), default=0), np.int32)
    number[[row.number for row in rows]] = np.arange(len(rows))
    _, shaft = np.unique(parts.shaft, return_inverse=True)
    return {
        "count": len(parts),
        "dimension": coded(parts.dimension),
        "x": coded(parts.xyz[:, 0]),
        "y": coded(parts.xyz[:, 1]),
        "z": coded(parts.xyz[:, 2]),
        "look": coded(parts.look),
        "axis": coded(parts.axis),
        "network": coded(number[parts.network]),
        "shaft": coded(shaft.reshape(-1)),
        "speed": coded(parts.speed),
        "power": coded(parts.power),
        "switched": coded(parts.switched),
    }


def _couplings(sheet: Sheet) -> dict[str, Any]:
    couplings = sheet.couplings
    return {
        "count": len(couplings),
        "a": coded(couplings.a),
        # Most parts are coupled to one that stands near them in the order.
        "step": coded(couplings.b - couplings.a),
        "kind": coded(couplings.kind),
        "ratio": coded(couplings.ratio),
    }
