"""The explanation of one position of an audited save."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np

from analyzer.base.errors import UsageError
from analyzer.base.limits import Limits
from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.explain.drivers import squared_between, squares_to
from analyzer.findings.explain.explain import explain_part
from analyzer.findings.explain.explanation import Explanation, Vacancy
from analyzer.pipeline.open_save import open_save
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.reading.read_block import read_block

#: The dimension that a position is taken to be in where nothing else tells.
_FIRST: Final = "minecraft:overworld"


def explain_place(
    audit: Audit,
    path: str | os.PathLike[str],
    at: Block,
    *,
    dimensions: Sequence[str] = (),
    limits: Limits = Limits(),  # noqa: B008 (frozen)
    follow_links: bool = False,
) -> Explanation | Vacancy:
    """Explain the part at a position, or tell what stands there instead.

    Parameters
    ----------
    audit
        The audit of the save.
    path
        Where the save is; it is opened for reading only, and only where no part stands there.
    at
        The position, in blocks.
    dimensions
        Dimensions that were asked about; none means all.
    limits
        Bounds of reading one chunk or template.
    follow_links
        As for the audit.

    Returns
    -------
    Explanation or Vacancy
        Without a part at the position in any dimension asked about, what is there in the
        overworld, or else in the dimension with the nearest part.

    Raises
    ------
    UsageError
        Where parts stand there in more than one dimension asked about, or the save has none.
    SaveNotOpenedError
        Where the save is gone since it was audited.

    Examples
    --------
    >>> import tempfile
    >>> from analyzer.demo.build import build_demo
    >>> from analyzer.pipeline.audit import audit_save
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     audit = audit_save(name, catalogues=["quayworks"])
    ...     explain_place(audit, name, Block(-28, 64, -10)).cause
    'movers'
    """
    here = np.flatnonzero((audit.parts.xyz == np.array(at)).all(axis=1)).tolist()
    if len(here) == 1:
        return explain_part(audit, here[0])
    names = [audit.parts.dimensions[int(audit.parts.dimension[part])] for part in here]
    if names:
        raise UsageError(
            f"parts stand at {at.x} {at.y} {at.z} in {', '.join(names)}. "
            "Say which is meant with --dimension."
        )
    files = open_save(Path(path), dimensions=dimensions, follow_links=follow_links)
    return _vacancy(audit, files, at, limits)


def _vacancy(audit: Audit, files: SaveFiles, at: Block, limits: Limits) -> Vacancy:
    dimension = _dimension(audit, at)
    number = audit.scan.dimensions.index(dimension)
    nearest = _nearest(audit, at, number)
    squared = 0 if nearest is None else squared_between(at, audit.parts.block_at(nearest))
    rejected = [one for one in audit.parts.rejected if (one.dimension, one.at) == (number, at)]
    there = read_block(files, dimension, at, limits)
    return Vacancy(
        dimension=dimension,
        at=at,
        there=there,
        rejected=(rejected[0].block, rejected[0].detail) if rejected else None,
        nearest=nearest,
        squared=squared,
    )


def _dimension(audit: Audit, at: Block) -> str:
    names = audit.scan.dimensions
    if not names:
        raise UsageError("the save has no dimension to look in")
    if len(names) == 1 or _FIRST in names:
        return _FIRST if _FIRST in names else names[0]
    if not len(audit.parts):
        return names[0]
    nearest = int(np.argmin(squares_to(audit.parts.xyz, at)))
    return audit.parts.dimensions[int(audit.parts.dimension[nearest])]


def _nearest(audit: Audit, at: Block, dimension: int) -> int | None:
    rows = np.flatnonzero(audit.parts.dimension == dimension)
    if not len(rows):
        return None
    return int(rows[np.argmin(squares_to(audit.parts.xyz[rows], at))])
