"""Block entities that do not fit their chunk: left over, counted, and told with their number."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.damage.damage import CATALOGUE, SOUND, WHEEL, Damage, blocks, within
from tests.save.chunks import chunk_tree, entity, stored
from tests.save.nbt_bytes import Tag, compound, integer, list_of, named, text
from tests.support.command import lineshaft

SECTIONS = [blocks({0: WHEEL})]
PART = entity("quayworks:wheel", 0, 64, 8)

#: One that is wrong beside one that is right, and the leftover that it is counted as.
WRONG = {
    "in-the-chunk-beside": (entity("quayworks:wheel", 16, 64, 8), "misplaced"),
    "at-the-far-end-of-the-world": (entity("quayworks:wheel", 2**31 - 1, 64, 8), "misplaced"),
    "twice-at-one-place": (entity("quayworks:wheel", 0, 64, 8), "duplicate"),
    "without-its-block": (entity("quayworks:wheel", 3, 64, 8), "stale"),
    "above-all-sections": (entity("quayworks:wheel", 3, 2**31 - 1, 8), "stale"),
    "without-a-place": (compound(id=text("quayworks:wheel")), "malformed"),
    "with-a-place-in-words": (
        compound(id=text("quayworks:wheel"), x=text("0"), y=integer(64), z=integer(8)),
        "malformed",
    ),
    "without-an-id": (compound(x=integer(1), y=integer(64), z=integer(8)), "malformed"),
    "with-a-number-for-an-id": (
        compound(id=integer(7), x=integer(1), y=integer(64), z=integer(8)),
        "malformed",
    ),
}


def audited(folder: Path, chunk: bytes, *options: str) -> tuple[int, dict[str, Any]]:
    catalogue = folder / "slipway.toml"
    catalogue.write_text(CATALOGUE, "utf-8")
    home = Damage("leftover", within(stored(chunk)), None).write(folder)
    asked = ["--format", "json", "--no-config", "--no-cache", *options]
    done = lineshaft("audit", home, "--catalogue", catalogue, *asked)
    return done.status, json.loads(done.out)


@pytest.mark.parametrize("name", WRONG)
def test_an_entity_that_does_not_fit_is_left_over_and_nothing_else_suffers(
    tmp_path: Path, name: str
) -> None:
    wrong, counted = WRONG[name]
    chunk = chunk_tree(0, 0, entities=[wrong, PART], sections=SECTIONS)
    status, report = audited(tmp_path, chunk)
    assert (status, report["unread"]) == (0, [])
    assert {key: count for key, count in report["scan"]["leftovers"].items() if count} == {
        counted: 1
    }
    (beside,) = [one for one in report["networks"] if one["id"] == "unnamed:-2,64,8"]
    assert (beside["state"], beside["parts"], beside["cut"]) == ("turning", 3, [])


@pytest.mark.parametrize(
    "name",
    [b"\xff\xfe", b"quay\x80works", b"\xed\xa0\x80", b"\xc0\x80", b"\xf0\x9f\x92\xa3", b"\xe2\x82"],
    ids=lambda name: name.hex(),
)
@pytest.mark.parametrize("every_byte", [False, True], ids=["sifted", "every-byte"])
def test_a_name_in_no_sound_utf_8_is_an_unknown_name(
    tmp_path: Path, name: bytes, every_byte: bool
) -> None:
    strange = Tag(10, named("id", text(name)) + entity("", 1, 64, 8).body[7:])
    chunk = chunk_tree(0, 0, entities=[strange, PART], sections=SECTIONS)
    status, report = audited(tmp_path, chunk, *(["--every-byte"] if every_byte else []))
    assert (status, report["unread"]) == (0, [])
    assert list(report["scan"]["unknown"].values()) == [1]
    # The report is one that anybody can store again.
    json.dumps(report, ensure_ascii=False).encode()


def test_of_two_lists_the_last_counts_where_every_byte_is_read(tmp_path: Path) -> None:
    # What comes behind the first list of a sifted chunk is not seen.
    first = named("block_entities", list_of(entity("minecraft:chest", 1, 64, 8)))
    chunk = SOUND[:3] + first + SOUND[3:]
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    for folder, options, parts in (("a", [], 2), ("b", ["--every-byte"], 3)):
        status, report = audited(tmp_path / folder, chunk, *options)
        assert (status, report["unread"]) == (0, [])
        beside = report["networks"][0]
        assert (beside["id"], beside["parts"]) == ("unnamed:-2,64,8", parts)
