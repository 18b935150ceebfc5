"""Where most stands: the heaviest networks and the busiest chunks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from analyzer.base.tables import unique_rows
from analyzer.findings.audit import Audit
from analyzer.report.network_rows import NetworkRow
from analyzer.report.network_table import state_text
from analyzer.report.page.markup import Markup, element
from analyzer.report.page.tables import section, table
from analyzer.report.quantities import place

#: Most rows of each table.
_MOST: Final = 12


def places_section(audit: Audit, rows: Sequence[NetworkRow]) -> Markup:
    """Return the section; it says so where there is no network."""
    if not rows:
        return section("places", "Heaviest", element("p", "There is no network."))
    both = element("div", _heaviest(rows), _busiest(audit), _class="columns")
    return section("places", "Heaviest", both)


def _heaviest(rows: Sequence[NetworkRow]) -> Markup:
    numbered = sorted(
        enumerate(rows), key=lambda one: (-one[1].parts, -one[1].chunks, -one[1].switches, one[0])
    )
    return table(
        "The heaviest networks",
        ("first part", "dimension", "parts", "chunks", "switches", "state"),
        (
            (
                element("a", place(row.anchor), href="#drawing", data_network=str(number)),
                row.dimension,
                f"{row.parts:,}",
                f"{row.chunks:,}",
                f"{row.switches:,}",
                state_text(row),
            )
            for number, row in numbered[:_MOST]
        ),
        numbers="  nnn",
    )


def _busiest(audit: Audit) -> Markup:
    parts = audit.parts
    asked = np.flatnonzero(audit.selected[audit.networks.network])
    x, z = parts.xyz[asked, 0] >> 4, parts.xyz[asked, 2] >> 4
    chunks, chunk = unique_rows(parts.dimension[asked], x, z)
    counts = np.bincount(chunk)
    pairs, _ = unique_rows(chunk, audit.networks.network[asked])
    crossing = np.bincount(pairs[:, 0])
    # Chunks come sorted by dimension and place, and so do those with as many parts.
    most = np.argsort(-counts, kind="stable")[:_MOST].tolist()
    cells = []
    for number in most:
        dimension, cx, cz = chunks[number].tolist()
        link = element("a", f"{cx} {cz}", href="#drawing", data_chunk=f"{dimension} {cx} {cz}")
        blocks = f"{16 * cx} {16 * cz} to {16 * cx + 15} {16 * cz + 15}"
        name = parts.dimensions[dimension]
        cells.append((link, name, blocks, f"{counts[number]:,}", f"{crossing[number]:,}"))
    return table(
        "The busiest chunks",
        ("chunk", "dimension", "blocks x z", "parts", "networks"),
        cells,
        numbers="   nn",
    )
