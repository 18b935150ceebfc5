"""The survey of a save: every block entity in it, whether anything knows it or not."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from analyzer.base.block import namespace_of
from analyzer.base.limits import Limits
from analyzer.pipeline.open_save import open_save
from analyzer.pipeline.workers import workers_for
from analyzer.save.inventory.inventory import Inventory
from analyzer.save.inventory.survey import take_inventory
from analyzer.save.reading.progress import OnProgress


def survey_save(
    path: str | os.PathLike[str],
    *,
    dimensions: Sequence[str] = (),
    dimension_name: str | None = None,
    namespace: str | None = None,
    limits: Limits = Limits(),  # noqa: B008 (frozen)
    executor: Executor | None = None,
    jobs: int | None = None,
    progress: OnProgress | None = None,
    follow_links: bool = False,
) -> Inventory:
    """List every block entity of a save, with its block and the ranges of its numbers.

    The save is opened for reading only, and every chunk is read whole.

    Parameters
    ----------
    path, dimensions, dimension_name, limits, executor, jobs, progress, follow_links
        As for `analyzer.pipeline.audit.audit_save`.
    namespace
        Only block entities whose ids are in this namespace; None means all.

    Returns
    -------
    Inventory
        Without rows for a save without block entities.

    Raises
    ------
    SaveNotOpenedError
        Where there is no save that can be opened.
    UsageError
        Where a dimension is not one of the save's.

    Examples
    --------
    >>> import tempfile
    >>> from analyzer.demo.build import build_demo
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     inventory = survey_save(name)
    >>> inventory.dimensions
    ('minecraft:overworld', 'quayworks:undercroft')
    """
    files = open_save(
        Path(path),
        dimensions=dimensions,
        dimension_name=dimension_name,
        follow_links=follow_links,
    )
    with workers_for(len(files.sources), executor, jobs) as workers:
        inventory = take_inventory(
            files, dimensions=tuple(dimensions), limits=limits, executor=workers, progress=progress
        )
    return inventory if namespace is None else _within(inventory, namespace)


def _within(inventory: Inventory, namespace: str) -> Inventory:
    return replace(
        inventory,
        rows=tuple(row for row in inventory.rows if namespace_of(row.id) == namespace),
        fields=tuple(one for one in inventory.fields if namespace_of(one.id) == namespace),
        older=tuple(one for one in inventory.older if namespace_of(one[0]) == namespace),
    )
