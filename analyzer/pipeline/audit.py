"""The audit of a save: every stage, one after the other."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import Executor
from contextlib import ExitStack
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from analyzer.base.limits import Limits
from analyzer.base.policy import Policy
from analyzer.pipeline.looked_for import loaded, wanted_for
from analyzer.pipeline.open_save import open_save
from analyzer.pipeline.workers import workers_for
from analyzer.save.files.chosen_dimensions import choose_dimensions
from analyzer.save.reading.progress import OnProgress

# What is not needed to begin reading is imported while others read.
if TYPE_CHECKING:
    from analyzer.catalogue.catalogue import Catalogues
    from analyzer.findings.audit import Audit
    from analyzer.findings.ignores import Ignore
    from analyzer.pipeline.cache import Cache, Recall
    from analyzer.pipeline.request import Box


def audit_save(
    path: str | os.PathLike[str],
    *,
    catalogues: Catalogues | Sequence[str] = (),
    policy: Policy = Policy(),  # noqa: B008 (frozen)
    ignores: Sequence[Ignore] = (),
    today: date | None = None,
    dimensions: Sequence[str] = (),
    dimension_name: str | None = None,
    box: Box | None = None,
    every_byte: bool = False,
    limits: Limits = Limits(),  # noqa: B008 (frozen)
    executor: Executor | None = None,
    jobs: int | None = None,
    progress: OnProgress | None = None,
    cache: Cache | None = None,
    follow_links: bool = False,
) -> Audit:
    """Find the drives in a save, solve them exactly and judge them.

    The save is opened for reading only.

    Parameters
    ----------
    path
        Folder of a save or server, a bare region folder, a structure template (``.nbt``), or a
        folder of templates.
    catalogues
        What the blocks do: loaded catalogues, or their paths or names. Without any there is no
        part to find.
    policy
        Limits, rules and levels in place of what the catalogues and the program say.
    ignores
        Findings that are accepted: they are set aside.
    today
        The day on which it is judged whether an ignore with an end still holds; None: it does.
    dimensions
        Dimensions to look at; none means all. For a bare region folder one name names it.
    dimension_name
        Name of the dimension that a bare region folder holds.
    box
        Two corners, in blocks: only networks with a part between them, corners included, are
        judged. The whole of every dimension is read all the same, so nothing is cut by it.
    every_byte
        Read all of every chunk, so that no damage stays unseen.
    limits
        Bounds of reading one chunk.
    executor
        Where regions are read; None means processes of our own for a save of many regions.
    jobs
        How many processes of our own; None: one for each processor.
    progress
        Told how far the reading has come.
    cache
        Where what is known of region files is kept, so that those that have not changed are not
        read again; it makes no difference to the result. None keeps nothing.
    follow_links
        Read what links that lead out of the save lead to; otherwise each is told as unread.

    Returns
    -------
    Audit
        Everything that was computed. A save without any known part gives one without networks.

    Raises
    ------
    SaveNotOpenedError
        Where there is no save that can be opened.
    CatalogueError
        Where a catalogue cannot be used.
    UsageError
        Where a dimension is not one of the save's, or the cache's folder lies in the save.

    Examples
    --------
    >>> import tempfile
    >>> from analyzer.demo.build import build_demo
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     audit = audit_save(name, catalogues=["quayworks"])
    >>> {one.rule for one in audit.findings.items} >= {"overload", "loop-conflict", "over-speed"}
    True
    """
    files = open_save(
        Path(path),
        dimensions=dimensions,
        dimension_name=dimension_name,
        follow_links=follow_links,
    )
    asked = choose_dimensions(files, tuple(dimensions))
    with ExitStack() as stack:
        recall: Recall | None = None
        if cache is None:
            # Begun before anything else, since it takes a while until they are there.
            workers = stack.enter_context(workers_for(len(asked.sources), executor, jobs))
        from analyzer.save.scan.scan_save import scan_save

        known = loaded(catalogues)
        wanted = wanted_for(known, every_byte=every_byte)
        if cache is not None:
            from analyzer.pipeline.cache import recalled

            recall = stack.enter_context(recalled(cache, files, asked, wanted, limits))
            to_read = len(asked.sources) - len(recall.known)
            workers = stack.enter_context(workers_for(to_read, executor, jobs))
        scan = scan_save(
            asked,
            wanted,
            limits=limits,
            executor=workers,
            progress=progress,
            known={} if recall is None else recall.known,
            former={} if recall is None else recall.former,
            learn=None if recall is None else recall.learn,
            meanwhile=_prepare,
        )
    from analyzer.pipeline.audit_scan import audit_scan

    return audit_scan(scan, known, policy=policy, ignores=ignores, today=today, box=box)


def _prepare() -> None:
    import_module("analyzer.pipeline.audit_scan")
