"""The tables of many records as one, held against each record's own arrays."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest

from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.files.save_files import RegionFile
from analyzer.save.reading.looked import RegionSlots
from analyzer.save.scan.joined_tables import join_tables, starts_of
from analyzer.save.scan.record import ScanRecord

REGION = RegionFile("quayworks:tide", 0, 0, "region/r.0.0.mca", Path("r.0.0.mca"), Path())


def record(cells: bytes, readings: bytes, integers: bytes, reals: bytes, bare: bytes) -> ScanRecord:
    slots = RegionSlots(REGION, bytes(1024), (), ())
    return ScanRecord(slots, cells, readings, integers, reals, bare, (), Leftovers(), ())


def random_record(chance: random.Random) -> ScanRecord:
    cells, readings, bare = (chance.randrange(4) for _ in range(3))
    sizes = (24 * cells, 12 * readings, 8 * readings, 8 * readings, 16 * bare)
    return record(*map(chance.randbytes, sizes))


@pytest.mark.parametrize("seed", range(5))
def test_joined_tables_are_those_of_the_records_one_after_the_other(seed: int) -> None:
    chance = random.Random(seed)
    records = [random_record(chance) for _ in range(20)]
    joined = join_tables(records)
    for name in ("cells", "readings", "bare", "integers", "reals"):
        expected = np.concatenate([getattr(one, name) for one in records])
        assert getattr(joined, name).dtype == expected.dtype
        assert np.array_equal(getattr(joined, name), expected, equal_nan=name == "reals")
    assert joined.cell_counts.tolist() == [len(one.cells) for one in records]
    assert joined.reading_counts.tolist() == [len(one.readings) for one in records]
    assert joined.bare_counts.tolist() == [len(one.bare) for one in records]


def test_of_no_records_the_tables_are_empty() -> None:
    joined = join_tables([])
    assert joined.cells.shape == (0, 6)
    assert joined.readings.shape == (0, 3)
    assert joined.bare.shape == (0, 4)
    assert len(joined.integers) == len(joined.reals) == len(joined.cell_counts) == 0


@pytest.mark.parametrize("table", range(5))
def test_tables_that_are_no_rows_are_refused_even_where_others_make_up_for_them(table: int) -> None:
    sizes = [24, 12, 8, 8, 16]
    short, long = ([*sizes] for _ in range(2))
    short[table] -= 4
    long[table] += 4
    records = [record(*map(bytes, some)) for some in (short, long)]
    with pytest.raises(ValueError, match="ends within a row"):
        join_tables(records)


@pytest.mark.parametrize("table", [2, 3])
def test_readings_without_values_are_refused(table: int) -> None:
    sizes = [24, 12, 8, 8, 16]
    sizes[table] = 0
    with pytest.raises(ValueError, match="without values"):
        join_tables([record(*map(bytes, sizes)), record(*map(bytes, [24, 12, 8, 8, 16]))])


def test_each_record_begins_where_those_before_it_end() -> None:
    assert starts_of(np.array([2, 0, 3])).tolist() == [0, 2, 2]
    assert starts_of(np.array([], np.int64)).tolist() == []
