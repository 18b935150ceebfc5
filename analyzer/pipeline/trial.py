"""A catalogue tried by a save: what the speeds recorded there say about it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass

from analyzer.base.limits import Limits
from analyzer.catalogue.catalogue import Catalogues
from analyzer.findings.audit import Audit
from analyzer.findings.trial.hold import hold_trial
from analyzer.findings.trial.trial import Trial
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.cache import Cache
from analyzer.save.reading.progress import OnProgress


@dataclass(frozen=True, eq=False)
class TriedSave:
    """The trial of catalogues by a save, and the audit that it rests on."""

    audit: Audit
    trial: Trial


def trial_save(
    path: str | os.PathLike[str],
    catalogues: Catalogues | Sequence[str],
    *,
    dimensions: Sequence[str] = (),
    dimension_name: str | None = None,
    limits: Limits = Limits(),  # noqa: B008 (frozen)
    executor: Executor | None = None,
    jobs: int | None = None,
    progress: OnProgress | None = None,
    cache: Cache | None = None,
) -> TriedSave:
    """Compare the speeds that a save recorded with what catalogues say.

    The save is opened for reading only.

    Parameters
    ----------
    path, catalogues, dimensions, dimension_name, limits, executor, jobs, progress, cache
        As for `analyzer.pipeline.audit.audit_save`.

    Returns
    -------
    TriedSave
        A save that records no speed gives a trial that tells nothing.

    Raises
    ------
    SaveNotOpenedError
        Where there is no save that can be opened.
    CatalogueError
        Where a catalogue cannot be used.
    UsageError
        Where a dimension is not one of the save's.
    """
    audit = audit_save(
        path,
        catalogues=catalogues,
        dimensions=dimensions,
        dimension_name=dimension_name,
        limits=limits,
        executor=executor,
        jobs=jobs,
        progress=progress,
        cache=cache,
    )
    trial = hold_trial(audit.parts, audit.couplings, audit.networks, audit.solution)
    return TriedSave(audit, trial)
