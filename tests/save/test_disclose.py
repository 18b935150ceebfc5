"""What a save tells of people, machines and mods, and where."""

from __future__ import annotations

import gzip
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from analyzer.base.place import Block
from analyzer.demo.content import place
from analyzer.demo.manner import Manner
from analyzer.save.disclosure.disclose import disclose_save
from analyzer.save.disclosure.disclosure import (
    Address,
    AddressKind,
    Disclosure,
    Need,
    Personal,
    PersonalFile,
)
from analyzer.save.files.locate import locate_save
from tests.save.chunks import chunk_tree, entity, region, section, stored
from tests.save.nbt_bytes import compound, integer, list_of, text, tree
from tests.save.templates import block, template_file, template_tree
from tests.save.templates import data as template_data
from tests.support.saves import save_of

MODERN = Manner(data_version=3955)


def disclosed(path: Path) -> Disclosure:
    return disclose_save(locate_save(path))


def test_an_empty_save_tells_nothing(tmp_path: Path) -> None:
    save = save_of(tmp_path, [])
    found = disclosed(save)
    assert (found.needs, found.personal, found.addresses, found.faults) == ((), (), (), ())
    assert found.looked_around
    assert not found.more_files


@pytest.mark.parametrize("version", [2566, 3955])
def test_blocks_and_block_entities_are_counted_by_namespace(tmp_path: Path, version: int) -> None:
    save = save_of(
        tmp_path,
        [
            *(place((x, 64, 1), "a:plank[axis=x]") for x in range(5)),
            place((1, 80, 1), "a:plank[axis=y]"),
            place((40, 64, 1), "a:reel", {"id": "a:reel"}),
            place((41, 64, 1), "b:reel", {"id": "c:reel"}),
            place((42, 64, 1), "minecraft:chest", {"id": "minecraft:chest"}),
        ],
        manner=Manner(data_version=version),
    )
    assert disclosed(save).needs == (
        Need("a", (("a:plank", 6), ("a:reel", 1)), (("a:reel", 1),)),
        Need("b", (("b:reel", 1),), ()),
        Need("c", (), (("c:reel", 1),)),
    )


def test_a_palette_of_one_entry_is_a_whole_section(tmp_path: Path) -> None:
    chunk = chunk_tree(0, 0, sections=[section(4, ["a:slate"], {})])
    (tmp_path / "r.0.0.mca").write_bytes(region({0: stored(chunk)}))
    assert disclosed(tmp_path).needs == (Need("a", (("a:slate", 4096),), ()),)


def test_unfinished_chunks_count_too(tmp_path: Path) -> None:
    chunk = chunk_tree(
        0, 0, status="minecraft:features", sections=[section(4, ["a:air", "a:ore"], {7: 1})]
    )
    (tmp_path / "r.0.0.mca").write_bytes(region({0: stored(chunk)}))
    assert disclosed(tmp_path).needs == (Need("a", (("a:air", 4095), ("a:ore", 1)), ()),)


def test_an_unreadable_chunk_tells_nothing_and_is_a_fault(tmp_path: Path) -> None:
    chunk = chunk_tree(0, 0, entities=[entity("a:x", 0, 0, 0)], sections=[section(4, [], {})])
    (tmp_path / "r.0.0.mca").write_bytes(region({0: stored(chunk)}))
    found = disclosed(tmp_path)
    assert found.needs == ()
    assert [fault.reason for fault in found.coverage.faults] == ["bad-palette"]


def test_addresses_in_block_entities_are_told_with_their_place(tmp_path: Path) -> None:
    sign = entity(
        "minecraft:sign",
        3,
        64,
        5,
        front_text=compound(messages=list_of(text("at"), text("mate@quay.example"))),
    )
    astray = compound(id=text("a:x"), Note=text("/home/mate/quay"))
    chunk = chunk_tree(0, 0, entities=[sign, astray])
    (tmp_path / "r.0.0.mca").write_bytes(region({0: stored(chunk)}))
    messages, note = "front_text.messages[]", "Note"
    assert disclosed(tmp_path).addresses == (
        Address("unnamed", "r.0.0.mca", None, note, AddressKind.PATH, "/home/mate/quay"),
        Address(
            *("unnamed", "r.0.0.mca", Block(3, 64, 5), messages),
            *(AddressKind.EMAIL, "mate@quay.example"),
        ),
    )


def test_addresses_of_too_many_are_counted(tmp_path: Path) -> None:
    notes = list_of(*(text(f"/home/mate/{number}") for number in range(1200)))
    chunk = chunk_tree(0, 0, entities=[entity("a:x", 0, 0, 0, Notes=notes)])
    (tmp_path / "r.0.0.mca").write_bytes(region({0: stored(chunk)}))
    found = disclosed(tmp_path)
    assert (len(found.addresses), found.more_addresses) == (1000, 200)


def test_names_of_too_many_are_counted(tmp_path: Path) -> None:
    entities = [entity(f"a:{number}", 0, 0, 0) for number in range(2010)]
    chunk = chunk_tree(0, 0, entities=[*entities, entity("b:" + "x" * 9000, 0, 0, 0)])
    (tmp_path / "r.0.0.mca").write_bytes(region({0: stored(chunk)}))
    found = disclosed(tmp_path)
    assert (len(found.needs[0].entities), found.more_names) == (2000, 11)


def test_stored_trees_of_the_save_are_looked_through(tmp_path: Path) -> None:
    save = save_of(tmp_path, [], manner=MODERN)
    level = compound(
        Data=compound(
            LevelName=text("quay"),
            ServerBrands=list_of(text("from https://quay.example/x")),
            Player=compound(Health=integer(20)),
        )
    )
    (save / "level.dat").write_bytes(gzip.compress(tree(level), mtime=0))
    storage = save / "data" / "quay" / "command_storage.dat"
    storage.parent.mkdir(parents=True, exist_ok=True)
    # Packed or not.
    storage.write_bytes(tree(compound(contents=compound(host=text("192.0.2.7")))))
    (save / "data" / "notes.dat").write_bytes(b"no tree: mate@quay.example")
    found = disclosed(save)
    assert [(one.file, one.field, one.text) for one in found.addresses] == [
        ("data/quay/command_storage.dat", "contents.host", "192.0.2.7"),
        ("level.dat", "Data.ServerBrands[]", "https://quay.example/x"),
    ]
    assert found.personal == (PersonalFile(Personal.OWNER, "level.dat"),)
    assert found.faults == ()


def test_a_stored_tree_that_cannot_be_read_is_a_fault(tmp_path: Path) -> None:
    save = save_of(tmp_path, [])
    (save / "data").mkdir(exist_ok=True)
    (save / "data" / "a.dat").write_bytes(gzip.compress(tree(compound(a=text("b"))))[:20])
    (save / "data" / "b.dat").write_bytes(b"\x1f\x8b\x08nothing")
    (save / "data" / "c.dat").write_bytes(b"\x0a\x00\x00\x0d\x00\x01a")
    (save / "data" / "d.dat").symlink_to("/dev/null")
    found = disclosed(save)
    assert [(fault.file, fault.reason) for fault in found.faults] == [
        ("data/a.dat", "cut-short"),
        ("data/b.dat", "bad-gzip-stream"),
        ("data/c.dat", "bad-nbt"),
    ]


PERSONAL = {
    "playerdata/0a.dat": Personal.PLAYER,
    "playerdata/0a.dat_old": Personal.PLAYER,
    "players/mate.dat": Personal.PLAYER,
    "players/data/0a.dat": Personal.PLAYER,
    "stats/0a.json": Personal.STATISTICS,
    "players/stats/0a.json": Personal.STATISTICS,
    "advancements/0a.json": Personal.ADVANCEMENTS,
    "players/advancements/0a.json": Personal.ADVANCEMENTS,
    "ops.json": Personal.OPERATORS,
    "banned-players.json": Personal.BANS,
    "banned-ips.json": Personal.BANS,
    "whitelist.json": Personal.WHITELIST,
    "white-list.txt": Personal.WHITELIST,
    "usercache.json": Personal.USERS,
    "server.properties": Personal.SETTINGS,
    "logs/latest.log": Personal.LOGS,
    "crash-reports/crash.txt": Personal.LOGS,
    "data/scoreboard.dat": Personal.SCOREBOARD,
}
OTHERS = (
    "datapacks/quay/data/quay/advancements/root.json",
    "data/raids.dat",
    "region/ops.json",
    "generated/quay/structures/crane.txt",
    "icon.png",
)


def test_files_about_people_are_told_by_their_place_and_name(tmp_path: Path) -> None:
    save = save_of(tmp_path, [])
    for file in (*PERSONAL, *OTHERS):
        (save / file).parent.mkdir(parents=True, exist_ok=True)
        (save / file).write_bytes(b"x")
    found = disclosed(save)
    told = {one.file: one.kind for one in found.personal}
    assert told == PERSONAL
    assert found.personal == tuple(sorted(found.personal))
    assert found.faults == ()


def test_links_are_not_followed(tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    (outside / "playerdata").mkdir(parents=True)
    (outside / "playerdata" / "0a.dat").write_bytes(b"x")
    save = save_of(tmp_path, [])
    (save / "playerdata").symlink_to(outside / "playerdata")
    (save / "round").symlink_to(save)
    assert disclosed(save).personal == ()


def test_the_folders_of_a_split_save_are_looked_at(tmp_path: Path) -> None:
    save = save_of(tmp_path, [])
    beside = tmp_path / f"{save.name}_nether" / "DIM-1" / "region"
    beside.mkdir(parents=True)
    (beside.parents[1] / "playerdata").mkdir()
    (beside.parents[1] / "playerdata" / "0a.dat").write_bytes(b"x")
    (one,) = disclosed(save).personal
    assert one.file == f"../{save.name}_nether/playerdata/0a.dat"


def test_around_a_bare_region_folder_nothing_is_looked_at(tmp_path: Path) -> None:
    (tmp_path / "ops.json").write_bytes(b"[]")
    (tmp_path / "region").mkdir()
    (tmp_path / "region" / "r.0.0.mca").write_bytes(b"")
    found = disclosed(tmp_path / "region")
    assert (found.personal, found.looked_around) == ((), False)


def test_a_template_tells_what_it_needs(tmp_path: Path) -> None:
    note = template_data("a:reel", Note=text("D:/games/quay"))
    tree_of = template_tree([block(0, 0, 0), block(1, 0, 0, nbt=note)], ("a:reel",))
    template_file(tmp_path, tree_of)
    found = disclosed(tmp_path / "crane.nbt")
    assert found.needs == (Need("a", (("a:reel", 2),), (("a:reel", 1),)),)
    assert [(one.at, one.text) for one in found.addresses] == [(Block(1, 0, 0), "D:/games/quay")]
    assert not found.looked_around


def test_where_it_is_read_makes_no_difference(tmp_path: Path) -> None:
    reels = [place((600 * n, 64, 0), "a:reel", {"id": "a:reel"}) for n in range(4)]
    save = save_of(tmp_path, reels)
    here = disclosed(save)
    with ThreadPoolExecutor(2) as pool:
        there = disclose_save(locate_save(save), executor=pool)
    assert (there.needs, there.coverage.counts()) == (here.needs, here.coverage.counts())
