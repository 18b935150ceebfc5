"""Oddments: what is no drive, or cannot be read, and still has to be counted."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from analyzer.base.place import Chunk
from analyzer.demo.content import Placement, place
from analyzer.demo.expect import OVERWORLD, Build, build
from analyzer.demo.manner import Compression
from analyzer.demo.parts import part
from analyzer.demo.region import slot_bytes

#: Chunks of the overworld that cannot be read: one beside the breakwater hoist, one on its own.
DAMAGED: Final = MappingProxyType(
    {
        Chunk(33, 0): slot_bytes(b"\x78\x9c" + b"\xff" * 60, Compression.ZLIB),
        Chunk(36, 3): slot_bytes(b"washed overboard", Compression.ZLIB),
    }
)

#: Block entities that no catalogue of the demo knows, with their counts.
UNKNOWN: Final = (("minecraft:barrel", 2), ("quayworks_stores:sea_chest", 1))


def spare_gear() -> Build:
    """Lay a spare bull gear against the wall: a network of one part, idle."""
    return build(
        OVERWORLD,
        (part((-24, 64, 22), "bull_gear_48[axis=y]"),),
        anchor=(-24, 64, 22),
        state="idle",
        capacity=0,
        demand=0,
    )


def patched_shaft() -> Build:
    """Put up a length of shaft whose data stands in the save twice; the last entry counts."""
    shaft = part((-20, 64, 22), "line_shaft[axis=x]")
    twice = build(OVERWORLD, (shaft,), anchor=(-20, 64, 22), state="idle", capacity=0, demand=0)
    return Build(OVERWORLD, (shaft, shaft), twice.networks)


def store_room() -> tuple[Placement, ...]:
    """Fill a store room: barrels and a sea chest, which are none of the tool's business.

    The figurehead beside them is of the catalogue's namespace and not in it.
    """
    return (
        place((-29, 64, 27), "minecraft:barrel[facing=up]", {"id": "minecraft:barrel"}),
        place((-28, 64, 27), "minecraft:barrel[facing=up]", {"id": "minecraft:barrel"}),
        place(
            (-27, 64, 27),
            "quayworks_stores:sea_chest[facing=south]",
            {"id": "quayworks_stores:sea_chest", "Rations": 40},
        ),
        place((-26, 64, 27), "quayworks:figurehead[facing=south]"),
    )


def leftovers() -> tuple[Placement, ...]:
    """Leave data of a gear where a plank now is, and a treadwheel with more walkers than fit."""
    return (
        place((-22, 64, 27), "minecraft:oak_planks", {"id": "quayworks:gear"}),
        part((-19, 64, 27), "treadwheel[facing=east,walkers=7]"),
    )
