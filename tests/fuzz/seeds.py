"""True inputs to begin with: the demo's save, small real chunks, the damage corpus, catalogues."""

from __future__ import annotations

import gzip
import struct
import tempfile
import zlib
from collections.abc import Iterator
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Final

from analyzer.demo.build import build_demo
from tests.damage.damage import BESIDE, CATALOGUE, REST, SOUND
from tests.damage.make_corpus import iter_corpus
from tests.fuzz.forms import ChunksForm, SlotsForm
from tests.save.chunks import SECTOR
from tests.save.nbt_bytes import integer, list_of
from tests.save.templates import block, palette, template_tree
from tests.save.templates import data as template_data

ROOT: Final = Path(__file__).parents[2]
WORLDS: Final = ROOT.parent / "shared" / "worlds"

# Larger ones take long, and show no more.
_LARGEST_TREE: Final = 24_000
_CHUNKS_A_WORLD: Final = 3


@cache
def demo_trees() -> tuple[bytes, ...]:
    """Return the trees of the demo's chunks, each once."""
    with tempfile.TemporaryDirectory() as name:
        build_demo(Path(name))
        files = sorted(Path(name).rglob("r.*.mca"))
        trees = {tree for file in files for tree in _iter_trees(file.read_bytes())}
    return tuple(sorted((tree for tree in trees if len(tree) <= _LARGEST_TREE), key=len))


@cache
def real_trees() -> tuple[bytes, ...]:
    """Return trees of small real chunks of each version; none where no worlds are there."""
    files = sorted(WORLDS.rglob("region/r.*.mca"))
    return tuple(tree for file in files for tree in islice(_iter_small(file), _CHUNKS_A_WORLD))


def trees() -> list[bytes]:
    """Return chunks' trees."""
    return [SOUND, zlib.decompress(REST[5:]), *demo_trees()[::3], *real_trees()]


def chunks() -> list[bytes]:
    """Return some chunks together, in `ChunksForm`: neighbours begin alike."""
    every = trees()
    packed: list[bytes] = []
    for at in range(0, len(every), 4):
        some = [_placed(tree) for tree in every[at : at + 4]]
        packed += [
            ChunksForm([(slot, kind, tree) for slot, tree in some]).packed()
            for kind in ((2,) if at else (1, 2, 3, 4))
        ]
    return packed


def slots() -> list[bytes]:
    """Return region files in `SlotsForm`: the damage corpus, which has a fault of each kind."""
    packed = []
    for data, beside in [(BESIDE, {}), *((one.data, one.beside) for one in iter_corpus())]:
        header = data[: 4 * 1024].ljust(4 * 1024, b"\0")
        every = struct.unpack(">1024I", header)
        locations = [(slot, location) for slot, location in enumerate(every) if location]
        body = data[2 * SECTOR :]
        if len(body) <= _LARGEST_TREE:
            packed.append(SlotsForm(locations, beside.get("c.0.0.mcc"), body).packed())
    return packed


def levels() -> list[bytes]:
    """Return the trees of ``level.dat`` files."""
    with tempfile.TemporaryDirectory() as name:
        build_demo(Path(name))
        own = (Path(name) / "level.dat").read_bytes()
    real = [file.read_bytes() for file in sorted(WORLDS.rglob("level.dat"))]
    found = [gzip.decompress(data) for data in (own, *real)]
    return [tree for tree in found if len(tree) <= _LARGEST_TREE]


def templates() -> list[bytes]:
    """Return the trees of structure templates."""
    blocks = [block(n % 5, n // 25, n // 5 % 5, n % 3) for n in range(40)]
    wheel = template_data("quayworks:tide_wheel", Rpm=integer(8))
    blocks += [block(9, 0, n, 2, nbt=wheel) for n in range(4)]
    states = ("minecraft:air", "quayworks:line_shaft[axis=x]", "quayworks:tide_wheel[facing=east]")
    several = list_of(palette(*states), palette(*reversed(states)))
    return [
        template_tree(blocks, states),
        template_tree(blocks[30:], states, changes={"palettes": several, "palette": None}),
        template_tree([], states),
    ]


def catalogues() -> list[bytes]:
    """Return catalogues: the demo's, those of the case folders, and pieces of the first."""
    own = (ROOT / "analyzer" / "demo" / "quayworks.toml").read_bytes()
    head, *parts = own.split(b"\n[parts.")
    pieces = [head + b"\n[parts." + part for part in parts]
    cases = sorted((ROOT / "fixtures").rglob("*.toml"))[:40]
    return [CATALOGUE.encode(), *pieces, *(case.read_bytes() for case in cases), own]


def _iter_trees(data: bytes) -> Iterator[bytes]:
    for (location,) in struct.iter_unpack(">I", data[: 4 * 1024]):
        at = location >> 8 << 12
        if not 2 * SECTOR <= at < len(data):
            continue
        length, kind = struct.unpack_from(">iB", data, at)
        if kind == 2 and 0 < length < len(data) - at:
            try:
                yield zlib.decompressobj().decompress(data[at + 5 : at + 4 + length])
            except zlib.error:
                continue


def _iter_small(file: Path) -> Iterator[bytes]:
    return (tree for tree in _iter_trees(file.read_bytes()) if len(tree) <= _LARGEST_TREE)


def _placed(tree: bytes) -> tuple[int, bytes]:
    """Return a chunk's slot in region (0, 0), and its tree moved into that region."""
    slot = 0
    moved = bytearray(tree)
    for axis, name in enumerate((b"\x03\x00\x04xPos", b"\x03\x00\x04zPos")):
        at = moved.find(name)
        if at >= 0:
            (place,) = struct.unpack_from(">i", moved, at + len(name))
            struct.pack_into(">i", moved, at + len(name), place & 31)
            slot |= (place & 31) << 5 * axis
    return slot, bytes(moved)
