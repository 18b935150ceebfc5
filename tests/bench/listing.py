"""List the block entities of a save with a general-purpose library that parses every chunk.

``python -m tests.bench.listing LIBRARY SAVE WORKERS [REGIONS]``; LIBRARY is ``amulet-nbt``,
``nbtlib`` or ``anvil-parser2``, and the last number takes only so many regions.
"""

from __future__ import annotations

import io
import struct
import sys
import zlib
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path


def contents(path: str) -> Iterator[bytes]:
    """Yield the inflated chunks of a region file."""
    data = Path(path).read_bytes()
    for (location,) in struct.iter_unpack(">I", data[:4096]):
        if location:
            at = (location >> 8) * 4096
            (length,) = struct.unpack_from(">I", data, at)
            yield zlib.decompress(data[at + 5 : at + 4 + length])


def by_amulet_nbt(path: str) -> list[str]:
    """List the ids of a region's block entities with amulet-nbt."""
    import amulet_nbt

    return [
        str(entity["id"])
        for content in contents(path)
        for entity in amulet_nbt.load(content, compressed=False).compound["block_entities"]
    ]


def by_nbtlib(path: str) -> list[str]:
    """List the ids of a region's block entities with nbtlib."""
    import nbtlib

    return [
        str(entity["id"])
        for content in contents(path)
        for entity in nbtlib.File.parse(io.BytesIO(content))["block_entities"]
    ]


def by_anvil_parser2(path: str) -> list[str]:
    """List the ids of a region's block entities with anvil-parser2."""
    import anvil

    region = anvil.Region.from_file(path)
    return [
        str(entity["id"].value)
        for slot in range(1024)
        if (content := region.chunk_data(slot % 32, slot // 32)) is not None
        for entity in content["block_entities"]
    ]


LIBRARIES: dict[str, Callable[[str], list[str]]] = {
    "amulet-nbt": by_amulet_nbt,
    "nbtlib": by_nbtlib,
    "anvil-parser2": by_anvil_parser2,
}


def main(library: str, save: str, workers: str, regions: str = "1000000") -> None:
    """List a save on some processes, region by region."""
    paths = [str(path) for path in sorted(Path(save).glob("region/*.mca"))][: int(regions)]
    with ProcessPoolExecutor(int(workers), mp_context=get_context("fork")) as pool:
        found = pool.map(partial(LIBRARIES[library]), paths)
        print(len(paths), sum(map(len, found)))


if __name__ == "__main__":
    main(*sys.argv[1:])
