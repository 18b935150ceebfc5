"""Faults of palettes, packed indices and heights, in a chunk with a part and in one without."""

from __future__ import annotations

import struct
from collections.abc import Iterator

from tests.damage.damage import Damage, within
from tests.save.chunks import chunk_tree, entity, palette_entry, stored
from tests.save.nbt_bytes import Tag, byte, compound, integer, list_of, long_array, text

_AIR = palette_entry("minecraft:air")
_WHEEL = palette_entry("quayworks:wheel[axis=x]")
_PART = entity("quayworks:wheel", 0, 64, 8)
_LYING = entity("minecraft:chest", 0, 64, 8)


def iter_sections() -> Iterator[Damage]:
    for name, (value, reason) in _SECTIONS.items():
        part = chunk_tree(0, 0, entities=[_PART], sections=[value])
        yield Damage(f"{name}-at-a-part", within(stored(part)), reason)
        plain = chunk_tree(0, 0, entities=[_LYING], sections=[value])
        yield Damage(f"{name}-at-no-part", within(stored(plain)), reason, seen_always=False)


def _section(**content: Tag) -> Tag:
    return compound(Y=byte(4), block_states=compound(**content))


_BOTH = list_of(_AIR, _WHEEL)
_WORDS = long_array([0] * 256)
_NAMELESS = list_of(_AIR, compound(Properties=compound(axis=text("x"))))
_NUMBERED = list_of(_AIR, compound(Name=text("quay"), Properties=compound(axis=integer(1))))

_SECTIONS = {
    "palette-missing": (_section(data=_WORDS), "bad-palette"),
    "palette-empty": (_section(palette=list_of(), data=_WORDS), "bad-palette"),
    "palette-of-numbers": (_section(palette=list_of(integer(1)), data=_WORDS), "bad-palette"),
    "palette-entry-without-a-name": (_section(palette=_NAMELESS, data=_WORDS), "bad-palette"),
    "palette-property-that-is-a-number": (
        _section(palette=_NUMBERED, data=_WORDS),
        "bad-palette",
    ),
    "indices-missing": (_section(palette=_BOTH), "bad-packed-array"),
    "indices-too-few": (_section(palette=_BOTH, data=long_array([0] * 255)), "bad-packed-array"),
    "indices-too-many": (
        _section(palette=_BOTH, data=long_array([0] * 5000)),
        "bad-packed-array",
    ),
    "indices-beyond-the-palette": (
        _section(palette=_BOTH, data=long_array([-1] * 256)),
        "bad-packed-array",
    ),
    "section-without-a-height": (
        compound(block_states=compound(palette=_BOTH, data=_WORDS)),
        "bad-section",
    ),
    "sections-that-are-numbers": (integer(3), "bad-section"),
    "numbers-in-place-of-a-palette": (
        compound(Y=byte(4), Blocks=Tag(7, struct.pack(">i", 4096) + bytes(4096))),
        "bad-palette",
    ),
}
