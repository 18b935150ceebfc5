"""Excerpts: some parts of a save with all that couples them, as tables of their own."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import frozen
from analyzer.couplings.couplings import BrokenLinks, Couplings, Cuts, Governed
from analyzer.parts.parts import Links, Parts, no_records

Rows = npt.NDArray[np.int64]


def excerpt_parts(parts: Parts, rows: Rows) -> Parts:
    """Return some parts as a table of their own.

    Speeds that the saving program recorded are left out: they tell of the drive as it is.

    Parameters
    ----------
    parts
        All parts.
    rows
        Those to keep, ascending; none gives an empty table.
    """
    number = _numbering(len(parts), rows)
    linked = number[parts.links.part] >= 0
    unusable = [
        replace(one, part=int(number[one.part])) for one in parts.unusable if number[one.part] >= 0
    ]
    return replace(
        parts,
        dimension=frozen(parts.dimension[rows]),
        xyz=frozen(parts.xyz[rows]),
        type=frozen(parts.type[rows]),
        pose=frozen(parts.pose[rows]),
        state=frozen(parts.state[rows]),
        fields={field: frozen(column[rows]) for field, column in parts.fields.items()},
        rejected=(),
        unusable=tuple(unusable),
        links=Links(
            part=frozen(number[parts.links.part[linked]].astype(np.int32)),
            towards=frozen(parts.links.towards[linked]),
        ),
        recorded=no_records(),
    )


def excerpt_couplings(couplings: Couplings, parts: int, rows: Rows) -> Couplings:
    """Return the couplings among some parts, with these numbered from 0.

    Parameters
    ----------
    couplings
        All couplings.
    parts
        How many parts there are.
    rows
        The parts to keep, ascending.
    """
    number = _numbering(parts, rows).astype(np.int32)
    governed, cuts, broken = couplings.governed, couplings.cuts, couplings.broken
    table = keep_couplings(
        couplings,
        (number[couplings.a] >= 0) & (number[couplings.b] >= 0),
        (number[governed.part] >= 0) & (number[governed.other] >= 0),
    )
    cut, snapped = number[cuts.part] >= 0, number[broken.part] >= 0
    return replace(
        table,
        a=frozen(number[table.a]),
        b=frozen(number[table.b]),
        governed=replace(
            table.governed,
            part=frozen(number[table.governed.part]),
            other=frozen(number[table.governed.other]),
        ),
        cuts=Cuts(
            part=frozen(number[cuts.part[cut]]),
            port=frozen(cuts.port[cut]),
            towards=frozen(cuts.towards[cut]),
            status=frozen(cuts.status[cut]),
        ),
        broken=BrokenLinks(
            part=frozen(number[broken.part[snapped]]),
            towards=frozen(broken.towards[snapped]),
            reason=frozen(broken.reason[snapped]),
        ),
    )


def keep_couplings(
    couplings: Couplings, kept: npt.NDArray[np.bool_], kept_governed: npt.NDArray[np.bool_]
) -> Couplings:
    """Return couplings without some of them.

    Parameters
    ----------
    couplings
        All couplings.
    kept, kept_governed
        Which of them, and of those through governed ports, are kept.
    """

    def taken(column: npt.NDArray[Any]) -> npt.NDArray[Any]:
        return frozen(column[kept])

    def governed(column: npt.NDArray[Any]) -> npt.NDArray[Any]:
        return frozen(column[kept_governed])

    table = couplings.governed
    return replace(
        couplings,
        a=taken(couplings.a),
        b=taken(couplings.b),
        kind=taken(couplings.kind),
        port_a=taken(couplings.port_a),
        port_b=taken(couplings.port_b),
        ratio=taken(couplings.ratio),
        guard_a=taken(couplings.guard_a),
        guard_b=taken(couplings.guard_b),
        governed=Governed(
            part=governed(table.part),
            port=governed(table.port),
            other=governed(table.other),
            other_port=governed(table.other_port),
            kind=governed(table.kind),
            ratio=governed(table.ratio),
            drives=governed(table.drives),
            guard_part=governed(table.guard_part),
            guard_other=governed(table.guard_other),
        ),
    )


def _numbering(parts: int, rows: Rows) -> Rows:
    """Return the new number of each part; -1 for those left out."""
    number = np.full(parts, -1, np.int64)
    number[rows] = np.arange(len(rows))
    return number
