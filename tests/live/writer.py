"""A process that rewrites the chunks of some region files for as long as it is let."""

from __future__ import annotations

import mmap
import random
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final, Literal

from analyzer.base.place import chunk_of_slot
from tests.live.chunks import EXTERNAL_BYTES, bare_bytes, chunk_bytes
from tests.live.live_region import LiveRegion

#: Region files, and how many of each one's slots have a chunk with a gauge, and one without.
REGIONS: Final = ((0, 0), (1, 0), (-1, 0))
GAUGES: Final = 40
BARE: Final = 60

#: Bytes of what tells the versions: of each gauge the last one that was begun, and the last one
#: that was written; and how many writes there were.
NUMBERS: Final = 2 * len(REGIONS) * GAUGES + 1

# One write in so many is of a chunk that needs a file of its own.
_EXTERNAL_IN: Final = 150


class Versions:
    """Which versions of each chunk there are, told by one process to others."""

    def __init__(self, path: Path) -> None:
        with path.open("r+b") as file:
            self._map = mmap.mmap(file.fileno(), 4 * NUMBERS)
        self._numbers = memoryview(self._map).cast("i")

    def put(self, kind: Literal["begun", "written"], region: int, slot: int, version: int) -> None:
        """Tell of a version of the chunk with a gauge in a slot."""
        self._numbers[self._place(kind, region, slot)] = version

    def count_write(self) -> None:
        """Tell of one more write."""
        self._numbers[NUMBERS - 1] += 1

    @property
    def writes(self) -> int:
        """How many chunks have been written."""
        return self._numbers[NUMBERS - 1]

    def all(self, kind: Literal["begun", "written"]) -> dict[tuple[int, int], int]:
        """Return the versions by (number of the region, slot)."""
        return {
            (region, slot): self._numbers[self._place(kind, region, slot)]
            for region in range(len(REGIONS))
            for slot in range(GAUGES)
        }

    @staticmethod
    def _place(kind: str, region: int, slot: int) -> int:
        return 2 * (region * GAUGES + slot) + (kind == "written")


def write(folder: Path, versions: Versions, *, in_place: bool, seed: int) -> None:
    """Write every chunk once, say so on standard output, and then write chunks for ever."""
    chance = random.Random(seed)
    files = [LiveRegion(folder, rx, rz, in_place=in_place) for rx, rz in REGIONS]
    latest = dict.fromkeys(versions.all("begun"), 0)

    def one(region: int, slot: int) -> None:
        chunk = chunk_of_slot(*REGIONS[region], slot)
        size = chance.choice((300, 3_000, 9_000, 30_000))
        if slot >= GAUGES:
            files[region].write(slot, bare_bytes(chunk, size, chance))
        else:
            if chance.randrange(_EXTERNAL_IN) == 0:
                size = EXTERNAL_BYTES
            version = latest[region, slot] = latest[region, slot] + 1
            data = chunk_bytes(chunk, version, size, chance)
            versions.put("begun", region, slot, version)
            files[region].write(slot, data)
            versions.put("written", region, slot, version)
        versions.count_write()

    for region in range(len(REGIONS)):
        for slot in range(GAUGES + BARE):
            one(region, slot)
    print("ready", flush=True)
    while True:
        one(chance.randrange(len(REGIONS)), chance.randrange(GAUGES + BARE))


def main(arguments: Sequence[str]) -> None:
    """Write until killed: FOLDER VERSIONS-FILE server|in-place SEED."""
    folder, path, how, seed = arguments
    write(Path(folder), Versions(Path(path)), in_place=how == "in-place", seed=int(seed))


if __name__ == "__main__":
    main(sys.argv[1:])
