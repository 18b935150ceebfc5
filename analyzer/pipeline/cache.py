"""What is kept of a save's regions from one audit to the next (docs/cache.md)."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from analyzer.base.errors import UsageError
from analyzer.base.limits import Limits
from analyzer.pipeline.cache_identity import cache_identity
from analyzer.save.files.opening import ANYWHERE
from analyzer.save.files.region_marks import mark_regions
from analyzer.save.files.save_files import RegionFile, SaveFiles, Source
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.record_codec import RecordDecoder, encode_record, is_lasting
from analyzer.save.scan.wanted import Wanted
from analyzer.store.store import Store


@dataclass(frozen=True)
class Cache:
    """Where what is known of saves may be kept.

    Parameters
    ----------
    folder
        Made when something is written into it. It must not lie inside a save, nor a save in it.
    note
        Told, in a sentence, of what does not work; the audit goes on without it.
    by_default
        Whether nobody named the folder: if it cannot be used for a save, that is no mistake.
    clock_ns
        The time, in nanoseconds since 1970.
    """

    folder: Path
    note: Callable[[str], None]
    by_default: bool = False
    clock_ns: Callable[[], int] = time.time_ns


class Recall:
    """What is known of a save's regions, and what is learned of them.

    Attributes
    ----------
    known
        Records of region files that have not changed since, by the file's path in the save.
    former
        Earlier records of region files that may have changed, likewise.
    """

    def __init__(self) -> None:
        self.known: dict[str, ScanRecord] = {}
        self.former: dict[str, ScanRecord] = {}

    def learn(self, source: Source, record: ScanRecord) -> None:
        """Take in what reading a region file gave."""


class _StoredRecall(Recall):
    def __init__(self, store: Store, asked: SaveFiles, wanted: Wanted, cache: Cache) -> None:
        super().__init__()
        self._store = store
        # Before any file is looked at: what changes after this moment must show.
        self._begin_ns = cache.clock_ns()
        self._marks = mark_regions(asked.regions)
        decoder = RecordDecoder(wanted)
        same = list(self._iter_same(asked.regions))
        for (region, _), record in zip(same, decoder.decode_each(same), strict=True):
            if record is None:
                store.reject(region.file)
            else:
                self.known[region.file] = record
        for region in asked.regions:
            if region.file in self._marks and region.file not in self.known:
                self._recall_former(decoder, region)

    def _iter_same(self, regions: Iterable[RegionFile]) -> Iterator[tuple[RegionFile, bytes]]:
        for region in regions:
            mark = self._marks.get(region.file)
            data = None if mark is None else self._store.find(region.file, mark.digest)
            if data is not None:
                yield region, data

    def _recall_former(self, decoder: RecordDecoder, region: RegionFile) -> None:
        data = self._store.find_former(region.file)
        if data is None:
            return
        try:
            self.former[region.file] = decoder.decode(data, region, pieces=True)
        except ValueError:
            self._store.reject(region.file)

    def learn(self, source: Source, record: ScanRecord) -> None:
        mark = self._marks.get(source.file)
        if mark is not None and mark.is_settled(self._begin_ns) and is_lasting(record):
            self._store.put(source.file, mark.digest, encode_record(record))


def check_cache(cache: Cache | None, files: SaveFiles) -> str | None:
    """Return why the user's own folder cannot be used for a save, as a clause; None where it can.

    Raises
    ------
    UsageError
        Where the folder named for it cannot be used with this save.
    """
    reason = None if cache is None else _find_conflict(cache.folder, files)
    if cache is not None and reason is not None and not cache.by_default:
        raise UsageError(f"{cache.folder}: {reason}. Name another folder for the cache.")
    return reason


@contextmanager
def recalled(
    cache: Cache | None, files: SaveFiles, asked: SaveFiles, wanted: Wanted, limits: Limits
) -> Iterator[Recall]:
    """Give what is known of a save; what is learned of it is kept at the end.

    Parameters
    ----------
    cache
        Where it is kept; None: nothing is known, and nothing is kept.
    files
        All files of the save: of others nothing is kept any longer.
    asked
        Those to be read.
    wanted, limits
        What they are read for. Where every byte is to be read nothing counts as known.

    Raises
    ------
    UsageError
        Where the folder named for it cannot be used with this save.
    """
    reason = check_cache(cache, files)
    if cache is None or wanted.every_byte or not files.regions:
        yield Recall()
        return
    if reason is not None:
        cache.note(f"no cache is used: {cache.folder}: {reason}; name a folder with --cache")
        yield Recall()
        return
    with Store(cache.folder, cache_identity(files.root, wanted, limits)) as store:
        yield _StoredRecall(store, asked, wanted, cache)
        store.keep_only({region.file for region in files.regions})
        _write(store, cache)


def _write(store: Store, cache: Cache) -> None:
    try:
        store.write()
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        cache.note(f"no cache is kept: {cache.folder} cannot be written: {why}")
    else:
        if store.damaged:
            cache.note(
                f"what was kept in {cache.folder} was damaged, or not this user's alone to write; "
                "it was made again"
            )


def _find_conflict(folder: Path, files: SaveFiles) -> str | None:
    """Return why a folder cannot be used for a save, as a clause; None where it can."""
    place = folder.resolve()
    folders = {files.root, *(source.boundary for source in files.sources)} - {ANYWHERE}
    saves = {folder.resolve() for folder in folders}
    saves.update(above for above in (place, *place.parents) if (above / "level.dat").exists())
    for save in sorted(saves):
        if place.is_relative_to(save):
            return f"lies inside the save {save}"
        if save.is_relative_to(place):
            return f"the save {save} lies inside it"
    return "is no folder" if place.exists() and not place.is_dir() else None
