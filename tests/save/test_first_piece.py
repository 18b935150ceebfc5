"""How much of a chunk is inflated before the first look at it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.sift import sift as sift_module
from analyzer.save.sift.first_piece import FirstPiece
from tests.save.chunks import chunk_tree, entity, region, region_file, stored
from tests.save.nbt_bytes import byte_array

WANTED = Wanted({"quayworks:shaft": ()})
WHOLE = 10**6


class Inflated:
    """A stream as far as it has come."""

    def __init__(self, size: int, *, ended: bool) -> None:
        self.data = bytes(size)
        self.ended = ended

    def grow(self, size: int) -> None:
        raise AssertionError


EARLY = Inflated(128, ended=False)
LATE = Inflated(8192, ended=True)
HALF_WAY = Inflated(8192, ended=False)
SMALL = Inflated(1024, ended=True)
TINY = Inflated(90, ended=True)


@pytest.mark.parametrize(
    ("streams", "size"),
    [
        ([LATE] * 4, WHOLE),
        ([LATE, EARLY, LATE, LATE], WHOLE),
        ([LATE] * 3, 128),
        ([LATE, EARLY, EARLY, LATE], 128),
        ([LATE, EARLY, EARLY, HALF_WAY], 8192),
        ([EARLY] * 4 + [LATE] * 100, 128),
        ([LATE] * 4 + [EARLY] * 100, WHOLE),
        ([HALF_WAY] * 4, 8192),
        ([HALF_WAY, EARLY, EARLY, EARLY], 128),
        ([HALF_WAY, EARLY, HALF_WAY, EARLY], 8192),
        ([SMALL] * 4, 1024),
        ([TINY] * 4, 128),
        ([Inflated(1025, ended=True)] * 4, WHOLE),
    ],
)
def test_the_first_four_chunks_decide_for_the_region(streams: list[Inflated], size: int) -> None:
    first = FirstPiece(WHOLE)
    for stream in streams:
        first.note(len(stream.data), ended=stream.ended)
    assert first.size == size
    assert first.whole == (size == WHOLE)
    assert first.settled == (len(streams) >= 4)


def ballast(number: int) -> dict[str, object]:
    chance = random.Random(number)
    return {"ballast": byte_array([chance.randrange(-9, 9) for _ in range(9000)])}


def looks(monkeypatch: pytest.MonkeyPatch, folder: Path, *, last: bool) -> list[int]:
    """Return how many looks each of eight chunks takes; the sixth has a wanted entity."""
    taken: list[int] = []
    sift, look = sift_module.sift_chunk, sift_module._sift

    def counted_sift(*arguments: object, **keywords: object) -> object:
        taken.append(0)
        return sift(*arguments, **keywords)  # type: ignore[arg-type]

    def counted_look(*arguments: object) -> object:
        taken[-1] += 1
        return look(*arguments)  # type: ignore[arg-type]

    # Plainly, whatever was loaded for other tests.
    monkeypatch.setattr("analyzer.save.sift.whole_read.kernel_if_worth", lambda _: None)
    monkeypatch.setattr("analyzer.save.scan.scan_region.sift_chunk", counted_sift)
    monkeypatch.setattr(sift_module, "_sift", counted_look)
    chunks = {
        x: stored(
            chunk_tree(
                x,
                0,
                entities=[entity("quayworks:shaft" if x == 5 else "quayworks:bitt", 16 * x, 1, 1)],
                last=last,
                more=ballast(x),  # type: ignore[arg-type]
            )
        )
        for x in range(8)
    }
    record = scan_region(region_file(folder, region(chunks)), WANTED, Limits())
    expected = [SlotStatus.READ if x == 5 else SlotStatus.SIFTED for x in range(8)]
    assert list(record.looked.status[:8]) == expected
    assert record.cells[:, :3].tolist() == [[80, 1, 1]]
    assert record.leftovers.unknown == (("quayworks:bitt", 7),)
    return taken


def test_where_lists_come_last_the_further_chunks_are_inflated_at_once(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    # 128, 512, 2048, 8192, 32768 bytes of some 9100.
    assert looks(monkeypatch, tmp_path, last=True) == [5, 5, 5, 5, 1, 1, 1, 1]


def test_where_lists_come_first_chunks_are_looked_at_by_their_beginning(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert looks(monkeypatch, tmp_path, last=False) == [1] * 8
