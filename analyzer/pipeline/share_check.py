"""What an author should know before giving a world away."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from analyzer.base.limits import Limits
from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import Catalogues
from analyzer.findings.audit import Audit
from analyzer.findings.ignores import Ignore
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.open_save import open_save
from analyzer.pipeline.workers import workers_for
from analyzer.save.disclosure.disclose import disclose_save
from analyzer.save.disclosure.disclosure import Disclosure
from analyzer.save.files.fault import fault_order
from analyzer.save.reading.progress import OnProgress


@dataclass(frozen=True, eq=False)
class ShareCheck:
    """What an author should know.

    Parameters
    ----------
    audit
        The audit of every byte; its coverage holds whatever could not be read by anyone.
    disclosure
        What the save tells.
    """

    audit: Audit
    disclosure: Disclosure


def check_sharing(
    path: str | os.PathLike[str],
    *,
    catalogues: Catalogues | Sequence[str] = (),
    policy: Policy = Policy(),  # noqa: B008 (frozen)
    ignores: Sequence[Ignore] = (),
    today: date | None = None,
    dimensions: Sequence[str] = (),
    dimension_name: str | None = None,
    limits: Limits = Limits(),  # noqa: B008 (frozen)
    executor: Executor | None = None,
    jobs: int | None = None,
    progress: OnProgress | None = None,
    follow_links: bool = False,
) -> ShareCheck:
    """Audit every byte of a save, and look through it for what it tells of people and machines.

    The save is opened for reading only. Every chunk is read twice, once for each.

    Parameters
    ----------
    path, catalogues, policy, ignores, today, dimensions, dimension_name, limits
        As for `analyzer.pipeline.audit.audit_save`.
    executor, jobs, progress, follow_links
        As for `analyzer.pipeline.audit.audit_save`.

    Raises
    ------
    SaveNotOpenedError, CatalogueError, UsageError
        As `analyzer.pipeline.audit.audit_save`.

    Examples
    --------
    >>> import tempfile
    >>> from analyzer.demo.build import build_demo
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     checked = check_sharing(name, catalogues=["quayworks"])
    >>> [need.namespace for need in checked.disclosure.needs]
    ['quayworks', 'quayworks_stores']
    """
    audit = audit_save(
        path,
        catalogues=catalogues,
        policy=policy,
        ignores=ignores,
        today=today,
        dimensions=dimensions,
        dimension_name=dimension_name,
        every_byte=True,
        limits=limits,
        executor=executor,
        jobs=jobs,
        progress=progress,
        follow_links=follow_links,
    )
    files = open_save(
        Path(path),
        dimensions=dimensions,
        dimension_name=dimension_name,
        follow_links=follow_links,
    )
    with workers_for(len(files.sources), executor, jobs) as workers:
        disclosure = disclose_save(
            files, dimensions=tuple(dimensions), limits=limits, executor=workers, progress=progress
        )
    return ShareCheck(_with_all_faults(audit, disclosure), disclosure)


def _with_all_faults(audit: Audit, disclosure: Disclosure) -> Audit:
    coverage = audit.scan.coverage
    every = {*coverage.faults, *disclosure.coverage.faults, *disclosure.faults}
    faults = tuple(sorted(every, key=fault_order))
    return replace(audit, scan=replace(audit.scan, coverage=replace(coverage, faults=faults)))
