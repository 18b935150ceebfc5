"""The scan of a save: candidates for parts, what was looked at, what was left over."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from typing import TYPE_CHECKING

from analyzer.base.limits import Limits
from analyzer.save.files.chosen_dimensions import choose_dimensions
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.reading.progress import OnProgress
from analyzer.save.reading.read_each import read_each
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan_task import NOTHING, OnRecord, ScanTask
from analyzer.save.scan.wanted import Wanted

if TYPE_CHECKING:
    from analyzer.save.scan.scan import Scan


def scan_save(
    files: SaveFiles,
    wanted: Wanted,
    *,
    dimensions: tuple[str, ...] = (),
    limits: Limits = Limits(),  # noqa: B008 - a frozen value
    executor: Executor | None = None,
    progress: OnProgress | None = None,
    known: Mapping[str, ScanRecord] = NOTHING,
    former: Mapping[str, ScanRecord] = NOTHING,
    learn: OnRecord | None = None,
    meanwhile: Callable[[], None] | None = None,
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
        Told how far the reading has come; what is known needs none.
    known
        Records of region files, by the file's path relative to the save, that are as good as what
        reading the files would give.
    former
        Earlier records of region files, likewise, for the same `wanted` and `limits`: they spare
        the parsing of chunks that are still the same bytes, and make no difference to the result.
    learn
        Told of each record that was not known.
    meanwhile
        Called once while the executor reads, to make use of the time; not without one.

    Returns
    -------
    Scan
        Of an empty save: no candidates and no regions.

    Raises
    ------
    UsageError
        For a dimension that the save does not have.
    """
    task = ScanTask(
        choose_dimensions(files, dimensions),
        wanted,
        limits=limits,
        known=known,
        former=former,
        learn=learn,
    )
    fresh = read_each(
        task.calls,
        chunks_of=lambda record: record.looked.chunks,
        executor=executor,
        progress=progress,
        meanwhile=meanwhile,
    )
    return task.merge(fresh)
