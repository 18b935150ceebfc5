"""Excerpts: some parts of a save with all that couples them, as tables of their own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import frozen
from analyzer.couplings.columns import Table, change_columns
from analyzer.couplings.couplings import Couplings
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

    def among(table: Table, *ends: npt.NDArray[np.int32]) -> Table:
        """Return the rows of a table whose parts are all kept."""
        kept = np.logical_and.reduce([number[end] >= 0 for end in ends])
        return change_columns(
            table, lambda column: column[kept], lambda column: number[column[kept]]
        )

    return replace(
        among(couplings, couplings.a, couplings.b),
        governed=among(governed, governed.part, governed.other),
        cuts=among(cuts, cuts.part),
        broken=among(broken, broken.part),
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
    return replace(
        change_columns(couplings, lambda column: column[kept]),
        governed=change_columns(couplings.governed, lambda column: column[kept_governed]),
    )


def _numbering(parts: int, rows: Rows) -> Rows:
    """Return the new number of each part; -1 for those left out."""
    number = np.full(parts, -1, np.int64)
    number[rows] = np.arange(len(rows))
    return number
