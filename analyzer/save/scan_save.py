"""The scan of a save: candidates for parts, what was looked at, what was left over."""

from __future__ import annotations

from concurrent.futures import Executor
from functools import partial

from analyzer.base.limits import Limits
from analyzer.save.chosen_dimensions import choose_dimensions
from analyzer.save.each_region import read_each_region
from analyzer.save.facts import gather_facts
from analyzer.save.merge import merge_candidates, merge_coverage, merge_leftovers
from analyzer.save.progress import OnProgress
from analyzer.save.save_files import SaveFiles
from analyzer.save.scan import Scan, Wanted
from analyzer.save.scan_region import scan_region
from analyzer.save.wanted import WantedTables


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
    wanted = Wanted(dict(wanted.entities), wanted.blocks, wanted.every_byte)
    records = read_each_region(
        files.regions,
        partial(scan_region, wanted=wanted, limits=limits),
        chunks_of=lambda record: record.slots.chunks,
        executor=executor,
        progress=progress,
    )
    slots = [record.slots for record in records]
    return Scan(
        dimensions=files.dimensions,
        candidates=merge_candidates(records, files.dimensions, WantedTables(wanted)),
        coverage=merge_coverage(slots, files.dimensions, files.faults),
        leftovers=merge_leftovers(records),
        facts=gather_facts(files, slots),
    )
