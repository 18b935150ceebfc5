"""Inflate every chunk of a save with the fastest library, and do nothing with it.

``python -m tests.bench.inflate SAVE WORKERS``
"""

from __future__ import annotations

import struct
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import deflate

#: Room for one chunk; the library wants to know it.
ROOM = 1 << 20


def inflate_region(path: str) -> int:
    """Inflate one region file; return how many bytes came out."""
    data = Path(path).read_bytes()
    total = 0
    for (location,) in struct.iter_unpack(">I", data[:4096]):
        if location:
            at = (location >> 8) * 4096
            (length,) = struct.unpack_from(">I", data, at)
            total += len(deflate.zlib_decompress(data[at + 5 : at + 4 + length], ROOM))
    return total


def main(save: str, workers: str) -> None:
    """Inflate a save on some processes, region by region."""
    regions = [str(path) for path in sorted(Path(save).glob("region/*.mca"))]
    if int(workers) == 1:
        print(sum(map(inflate_region, regions)))
        return
    with ProcessPoolExecutor(int(workers), mp_context=get_context("fork")) as pool:
        print(sum(pool.map(inflate_region, regions, chunksize=4)))


if __name__ == "__main__":
    main(*sys.argv[1:])
