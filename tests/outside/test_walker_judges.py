"""The walker reads what general-purpose NBT libraries read, wherever these are right.

nbtlib is asked for no text with NUL or with characters beyond U+FFFF, since it takes modified UTF-8
for plain UTF-8. Neither is asked about false lengths, cut data, unknown tags or nesting beyond 512:
amulet-nbt ends the process or takes them, nbtlib loops, reads zeros or takes them.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.save.chunk.chunk import ChunkContent
from analyzer.save.chunk.palette import PaletteReader
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.scan.stored import read_stored
from tests.outside.judged_by_hand import BY_HAND, ODD_TEXT
from tests.outside.judged_regions import (
    SAVES,
    Held,
    needs_worlds,
    read_by_tool,
    sample,
    with_entities,
)
from tests.outside.judged_trees import (
    JUDGES,
    Plain,
    by_walker,
    iter_paths,
    trees,
)
from tests.properties.examples import few
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Reading a save: reference libraries"
LIBRARIES = {
    "nbtlib": Source(
        Evidence.LIBRARY,
        "nbtlib: File.parse",
        "github.com/vberlier/nbtlib, pypi.org/project/nbtlib",
    ),
    "amulet-nbt": Source(
        Evidence.LIBRARY,
        "amulet-nbt: load, where it can be installed (Python before 3.13)",
        "github.com/Amulet-Team/Amulet-NBT, pypi.org/project/amulet-nbt",
    ),
}
NOT_ASKED = {
    "nbtlib": "it is not asked for text with NUL or beyond U+FFFF, false lengths, cut data and deep"
    " nesting, where it is wrong",
    "amulet-nbt": "it is not asked for false lengths, cut data and deep nesting, where it is wrong",
}


def _judged(key: str, what: str, expected: str) -> Mapping[str, Check]:
    """Return a check for each library."""
    return {
        name: Check(SUBJECT, f"{key}{n}", what, expected, source, why=NOT_ASKED[name])
        for n, (name, source) in enumerate(LIBRARIES.items(), start=1)
    }


def _params(checks: Mapping[str, Check]) -> pytest.MarkDecorator:
    params = [pytest.param(name, marks=checked(check), id=name) for name, check in checks.items()]
    return pytest.mark.parametrize("judge", params)


PLAIN_TEXT = st.characters(min_codepoint=1, max_codepoint=0xFFFF, exclude_categories=("Cs",))
EVERY_TEXT = st.characters(exclude_categories=("Cs",))
CHARACTERS = {"nbtlib": PLAIN_TEXT, "amulet-nbt": EVERY_TEXT}
DRAWN_TREES = 60
HAND_MADE = _judged(
    "HAND",
    f"{len(BY_HAND)} trees written byte by byte: every tag, extreme values, empty lists, a name"
    " twice, and text of NUL and surrogate pairs where it is asked",
    "the same tree, tag by tag",
)
DRAWN = _judged(
    "TREE",
    f"{DRAWN_TREES} trees drawn with hypothesis and written byte by byte",
    "the same tree, tag by tag",
)


@_params(HAND_MADE)
def test_trees_written_by_hand_are_read_alike(judge: str) -> None:
    read = JUDGES[judge]
    for name, data in BY_HAND.items():
        assert by_walker(data) == read(data), name
    if judge != "nbtlib":
        assert by_walker(ODD_TEXT) == read(ODD_TEXT)


@_params(DRAWN)
def test_drawn_trees_are_read_alike(judge: str) -> None:
    read = JUDGES[judge]

    @few(DRAWN_TREES)
    @given(trees(CHARACTERS[judge]))
    def agree(data: bytes) -> None:
        assert by_walker(data) == read(data)

    agree()


CHUNKS = 8
ENTITIES = 12
WHOLE = _judged(
    "CHUNK",
    f"{CHUNKS} random chunks of each region of {len(SAVES)} real saves of 1.8 to 26.1, and up to"
    f" {ENTITIES} more of each save that list block entities",
    "the same tree, tag by tag; version, place, status, sections and palettes, block entities and"
    " every number they store, read by the tool from the region files",
)


@needs_worlds
@_params(WHOLE)
@pytest.mark.parametrize("save", SAVES)
def test_real_chunks_are_read_alike(save: str, judge: str) -> None:
    chosen = {one.chunk: one for one in (*sample(save, CHUNKS), *_with_entities(save))}
    contents = read_by_tool(save, chosen.keys())
    for chunk, one in chosen.items():
        whole = JUDGES[judge](one.data)
        assert by_walker(one.data) == whole
        _hold(contents[chunk], whole)


@cache
def _with_entities(save: str) -> list[Held]:
    every = with_entities(save)
    return random.Random(save).sample(every, min(ENTITIES, len(every)))


def _hold(content: ChunkContent, whole: Plain) -> None:
    """Hold every field that the tool wants against a library's tree."""
    root = whole[1]
    level = root["Level"][1] if "Level" in root else root
    outline = content.outline
    assert outline.data_version == _number(root.get("DataVersion"))
    assert (outline.cx, outline.cz) == (level["xPos"][1], level["zPos"][1])
    status = None if outline.status is None else decode_text(outline.status)
    assert status == _number(level.get("Status"))
    assert (content.status == SlotStatus.OLD) == ("Status" not in level)
    _hold_entities(content, level.get("TileEntities", level.get("block_entities", (9, [])))[1])
    if content.status != SlotStatus.OLD:
        sections = level["Sections" if "Sections" in level else "sections"][1]
        assert list(content.sections(PaletteReader()).iter_palettes(None)) == _palettes(sections)


def _number(value: Plain | None) -> Any:
    return None if value is None else value[1]


def _hold_entities(content: ChunkContent, entities: list[Plain]) -> None:
    assert len(content.entries) == len(entities)
    for entry, entity in zip(content.entries, entities, strict=True):
        assert entry.id is not None
        assert decode_text(entry.id) == entity[1]["id"][1]
        assert entry.block == tuple(entity[1][axis][1] for axis in "xyz")
        for steps, (tag, value) in iter_paths(entity):
            stored = read_stored(content.data, entry.at, steps, Limits())
            assert stored is not None
            assert stored.tag == tag
            assert stored.integer == (value if tag in range(1, 5) else 0)
            assert repr(stored.real) == (value if tag in (5, 6) else "0.0")


def _palettes(sections: list[Plain]) -> list[tuple[int, tuple[BlockState, ...]]]:
    found = []
    for _, section in sections:
        inner = section["block_states"][1] if "block_states" in section else section
        palette = inner.get("palette", inner.get("Palette"))
        if palette is not None:
            states = tuple(_state(entry) for _, entry in palette[1])
            found.append((section["Y"][1], states))
    return sorted(found, key=lambda pair: pair[0])


def _state(entry: Mapping[str, Plain]) -> BlockState:
    properties = entry["Properties"][1] if "Properties" in entry else {}
    pairs = sorted((name, value) for name, (_, value) in properties.items())
    return BlockState(entry["Name"][1], tuple(pairs))
