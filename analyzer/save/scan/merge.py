"""From all records to one scan, the same whatever order they came in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Final, TypeAlias

from analyzer.save.files.fault import fault_order
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.reading.looked import Looked, TemplateLook
from analyzer.save.scan.facts import gather_facts
from analyzer.save.scan.merge_tables import merge_tables
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan import Coverage, Fault, Leftovers, RegionCoverage, Scan
from analyzer.save.scan.wanted import WantedTables

#: The slots that were written while a save was read, by the region file's path in it.
Written: TypeAlias = Mapping[str, frozenset[int]]
#: Of a save that nobody wrote.
NONE: Final[Written] = MappingProxyType({})


def merge_scan(
    files: SaveFiles, records: Sequence[ScanRecord], tables: WantedTables, written: Written = NONE
) -> Scan:
    """Return the scan of a save.

    Parameters
    ----------
    files
        The files that were read.
    records
        What each of them gave; their order does not matter.
    tables
        The wanted ids and paths that the records' numbers mean.
    written
        The slots that were written meanwhile.
    """
    looked = [record.looked for record in records]
    dimensions = files.dimensions
    candidates, bare = merge_tables(records, dimensions=dimensions, tables=tables)
    return Scan(
        dimensions=dimensions,
        candidates=candidates,
        coverage=merge_coverage(looked, dimensions, files.faults, written),
        leftovers=merge_leftovers(records),
        facts=gather_facts(files, looked),
        bare=bare,
        strangers=merge_strangers(records),
    )


def merge_coverage(
    looked: Iterable[Looked],
    dimensions: Sequence[str],
    faults: Iterable[Fault],
    written: Written = NONE,
) -> Coverage:
    """Return what was looked at in all regions and templates, with the save's own faults.

    Parameters
    ----------
    looked
        What was looked at in each.
    dimensions
        Names of the dimensions, sorted.
    faults
        The save's own.
    written
        The slots that were written meanwhile, by the region file's path.
    """
    number_of = {name: number for number, name in enumerate(dimensions)}
    regions = []
    whole = set()
    every = list(faults)
    for one in looked:
        every.extend(one.faults)
        dimension = number_of[one.dimension]
        if isinstance(one, TemplateLook):
            if one.fault is None:
                whole.add(dimension)
        else:
            at = one.region
            slots = written.get(at.file, frozenset()) | one.unstable
            regions.append(RegionCoverage(dimension, at.rx, at.rz, at.file, one.status, slots))
    regions.sort(key=lambda region: (region.dimension, region.rx, region.rz))
    return Coverage(tuple(regions), tuple(sorted(every, key=fault_order)), frozenset(whole))


def merge_leftovers(records: Iterable[ScanRecord]) -> Leftovers:
    """Return the leftovers of all records together."""
    every = [record.leftovers for record in records]
    return Leftovers(
        unknown=_summed(left.unknown for left in every),
        duplicate=sum(left.duplicate for left in every),
        misplaced=sum(left.misplaced for left in every),
        malformed=sum(left.malformed for left in every),
        unfinished=sum(left.unfinished for left in every),
    )


def merge_strangers(records: Iterable[ScanRecord]) -> tuple[tuple[str, int], ...]:
    """Return the unknown block names of all records, with their counts."""
    return _summed(record.strangers for record in records)


def _summed(counts: Iterable[Sequence[tuple[str, int]]]) -> tuple[tuple[str, int], ...]:
    """Return each name's counts together, sorted by name."""
    totals: Counter[str] = Counter()
    for some in counts:
        for name, count in some:
            totals[name] += count
    return tuple(sorted(totals.items()))
