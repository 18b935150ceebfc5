"""The scan of a save: candidates for parts, what was looked at, what was left over."""

from __future__ import annotations

from concurrent.futures import Executor
from dataclasses import replace
from functools import partial

from analyzer.base.limits import Limits
from analyzer.save.chosen_dimensions import choose_dimensions
from analyzer.save.facts import gather_facts
from analyzer.save.merge import (
    merge_bare,
    merge_candidates,
    merge_coverage,
    merge_leftovers,
    merge_states,
    merge_strangers,
)
from analyzer.save.progress import OnProgress
from analyzer.save.read_each import read_each
from analyzer.save.save_files import SaveFiles
from analyzer.save.scan import Scan
from analyzer.save.scan_source import scan_source
from analyzer.save.wanted import Wanted, WantedTables


def scan_save(
    files: SaveFiles,
    wanted: Wanted,
    *,
    dimensions: tuple[str, ...] = (),
    limits: Limits = Limits(),  # noqa: B008 - a frozen value
    executor: Executor | None = None,
    progress: OnProgress | None = None,
) -> Scan:
    """Scan a save for the blocks that a catalogue names.

    Parameters
    ----------
    files
        The save, as `locate_save` found it.
    wanted
        Block-entity ids and block names to look for, and the numbers to read.
    dimensions
        Names of the dimensions to scan; none means all.
    limits
        Bounds of reading one chunk.
    executor
        Where regions are read; None reads them in this process, one after the other. It makes no
        difference to the result.
    progress
        Told how far the scan has come.

    Returns
    -------
    Scan
        Of an empty save: no candidates and no regions.

    Raises
    ------
    UsageError
        For a dimension that the save does not have.
    """
    files = choose_dimensions(files, dimensions)
    # A plain copy, since not every mapping can be sent to another process.
    wanted = replace(wanted, entities=dict(wanted.entities))
    records = read_each(
        files.sources,
        partial(scan_source, wanted=wanted, limits=limits),
        chunks_of=lambda record: record.looked.chunks,
        executor=executor,
        progress=progress,
    )
    looked = [record.looked for record in records]
    dimensions, states = files.dimensions, merge_states(records)
    return Scan(
        dimensions=dimensions,
        candidates=merge_candidates(
            records, dimensions=dimensions, states=states, tables=WantedTables(wanted)
        ),
        coverage=merge_coverage(looked, dimensions, files.faults),
        leftovers=merge_leftovers(records),
        facts=gather_facts(files, looked),
        bare=merge_bare(records, dimensions=dimensions, states=states),
        strangers=merge_strangers(records),
    )
