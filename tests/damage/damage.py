"""One fault in one file, and the sound chunks around it that must not suffer from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from tests.save.chunks import chunk_tree, entity, region, section, stored
from tests.save.nbt_bytes import Tag

#: The catalogue that the corpus is audited with.
CATALOGUE: Final = """\
[catalogue]
format = 1
title = "Slipway"
namespace = "quayworks"
version = "1.0"
licence = "MIT"

[parts."quayworks:shaft"]
role = "transmission"
entity = ["quayworks:shaft"]
pose = {axis = "axis"}
ends = {front = 1, back = -1}

[parts."quayworks:wheel"]
role = "mover"
entity = ["quayworks:wheel"]
pose = {axis = "axis"}
ends = {front = 1, back = -1}
rated_rpm = 8
torque = 32
"""

AIR: Final = "minecraft:air"
SHAFT: Final = "quayworks:shaft[axis=x]"
WHEEL: Final = "quayworks:wheel[axis=x]"

#: Slot of chunk (0, 0), which is damaged, and of chunk (5, 5), which is sound.
SLOT: Final = 0
REST_SLOT: Final = 5 + 32 * 5

#: Where the damaged chunk lies in its file.
AT: Final = 8192


@dataclass(frozen=True)
class Damage:
    """A damaged region folder.

    Parameters
    ----------
    name
        What is wrong.
    data
        Bytes of ``r.0.0.mca``, whose chunk (0, 0) or whose whole is damaged.
    reason
        Reason of the fault that must be told; None where the chunk must be read all the same.
    offset
        Byte offset of the fault in the region file.
    seen_always
        Whether the fault is found without reading every byte.
    rest
        Whether chunk (5, 5) is there to be read.
    beside
        Further files of the folder by name.
    """

    name: str
    data: bytes
    reason: str | None
    offset: int | None = AT
    seen_always: bool = True
    rest: bool = True
    beside: Mapping[str, bytes] = field(default_factory=dict)

    def write(self, folder: Path) -> Path:
        """Write the region folder, named for the fault, and return it."""
        home = folder / self.name
        home.mkdir(parents=True)
        files = {"r.0.0.mca": self.data, "r.-1.0.mca": BESIDE, **self.beside}
        for name, data in files.items():
            (home / name).write_bytes(data)
        return home


def blocks(states: Mapping[int, str]) -> Tag:
    """Return the section at height 4 with states along x in the row at y 64, z 8."""
    palette = [AIR, *sorted(set(states.values()))]
    cells = {8 << 4 | x & 15: palette.index(state) for x, state in states.items()}
    return section(4, palette, cells)


def drive(chunk: int, states: Mapping[int, str]) -> bytes:
    """Return chunk (n, n), or (n, 0) for n < 1, with parts in the row at y 64, z 8 within it."""
    cz = max(chunk, 0)
    entities = [entity(state.partition("[")[0], x, 64, 16 * cz + 8) for x, state in states.items()]
    return chunk_tree(chunk, cz, entities=entities, sections=[blocks(states)])


#: Chunk (-1, 0): two shafts, the end of one of which meets the damaged chunk.
BESIDE: Final = region({31: stored(drive(-1, {-2: SHAFT, -1: SHAFT}))})

#: Chunk (5, 5): a drive of its own.
REST: Final = stored(drive(5, {85: WHEEL, 86: SHAFT}))

#: Chunk (0, 0), were it sound: a wheel that drives the shafts beside it.
SOUND: Final = drive(0, {0: WHEEL})


def within(chunk: bytes, *, pad: bool = True) -> bytes:
    """Return a region with a chunk's stored bytes at slot 0, ahead of the sound chunk."""
    return region({SLOT: chunk, REST_SLOT: REST}, pad=pad)
