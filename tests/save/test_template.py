"""What is read of a structure template, and every way in which it can be damaged."""

from __future__ import annotations

import gzip
import random
import zlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analyzer.base.limits import Limits
from analyzer.save.inventory.list_template import list_template
from analyzer.save.reading.looked import TemplateLook
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan import Wanted
from analyzer.save.scan.scan_template import scan_template
from tests.save.chunks import ROOT_VERSION
from tests.save.nbt_bytes import (
    Tag,
    byte,
    compound,
    compound_of,
    double,
    int_array,
    integer,
    list_of,
    long,
    named,
    text,
    tree,
)
from tests.save.templates import block, data, palette, template_file, template_tree

WANTED = Wanted(
    {"quayworks:shaft": (("Speed",), ("Drive", 1))},
    entity_blocks=frozenset({"quayworks:shaft"}),
    namespaces=frozenset({"quayworks"}),
    known_blocks=frozenset({"quayworks:shaft"}),
)
LIMITS = Limits()


def scan(
    folder: Path, content: bytes, wanted: Wanted = WANTED, limits: Limits = LIMITS
) -> ScanRecord:
    return scan_template(template_file(folder, content), wanted, limits)


def look(record: ScanRecord) -> TemplateLook:
    assert isinstance(record.looked, TemplateLook)
    return record.looked


def reason(record: ScanRecord) -> str:
    """Return why a template could not be read; nothing of it may have been kept."""
    fault = look(record).fault
    assert fault is not None
    assert (fault.dimension, fault.file, fault.chunk) == ("template:crane", "crane.nbt", None)
    assert look(record).data_versions == ()
    for table in (record.cells, record.readings, record.bare, record.states, record.strangers):
        assert not len(table)
    assert record.leftovers.unknown == ()
    return fault.reason


def test_a_block_with_a_wanted_entity_is_a_candidate_with_its_numbers(tmp_path: Path) -> None:
    shaft = data("quayworks:shaft", Speed=integer(-8), Drive=list_of(double(0.5), double(2.5)))
    record = scan(
        tmp_path,
        template_tree([block(1, 2, 3, 1, shaft)], ("minecraft:air", "quayworks:shaft[axis=z]")),
    )
    assert record.cells.tolist() == [[1, 2, 3, 0, 0, ROOT_VERSION]]
    assert [str(state) for state in record.states] == ["quayworks:shaft[axis=z]"]
    # Paths are numbered in sorted order: Drive first.
    assert record.readings.tolist() == [[0, 0, 6], [0, 1, 3]]
    assert (record.reals.tolist(), record.integers.tolist()) == ([2.5, 0.0], [0, -8])
    assert look(record).data_versions == (ROOT_VERSION,)


def test_a_position_in_the_blocks_data_is_not_the_blocks_place(tmp_path: Path) -> None:
    elsewhere = data("quayworks:shaft", x=integer(900), y=integer(70), z=integer(-900))
    record = scan(tmp_path, template_tree([block(1, 2, 3, 0, elsewhere)]))
    assert record.cells[:, :3].tolist() == [[1, 2, 3]]


def test_blocks_are_found_by_name_where_no_entity_is_needed(tmp_path: Path) -> None:
    blocks = [block(0, 0, 0, 1), block(5, 0, 0, 0), block(2, 0, 0, 1)]
    content = template_tree(blocks, ("minecraft:air", "quayworks:keel"))
    record = scan(tmp_path, content, Wanted({}, frozenset({"quayworks:keel"})))
    assert record.cells[:, :5].tolist() == [[0, 0, 0, 0, -1], [2, 0, 0, 0, -1]]


def test_a_template_may_leave_out_blocks_and_list_them_in_any_order(tmp_path: Path) -> None:
    chance = random.Random(7)
    places = chance.sample([(x, y, z) for x in range(9) for y in range(9) for z in range(9)], 40)
    shaft = data("quayworks:shaft")
    record = scan(tmp_path, template_tree([block(*at, 0, shaft) for at in places]))
    assert sorted(map(tuple, record.cells[:, :3].tolist())) == sorted(places)


def test_positions_below_zero_are_kept(tmp_path: Path) -> None:
    record = scan(tmp_path, template_tree([block(-1, -2, -3, 0, data("quayworks:shaft"))]))
    assert record.cells[:, :3].tolist() == [[-1, -2, -3]]


def test_the_last_of_several_blocks_at_a_place_counts(tmp_path: Path) -> None:
    shaft = data("quayworks:shaft")
    blocks = [
        block(0, 0, 0, 1, shaft),
        block(1, 0, 0, 1, shaft),
        block(0, 0, 0, 0),
        block(1, 0, 0, 1, data("quayworks:shaft", Speed=integer(3))),
        block(2, 0, 0, 1, data("quayworks:bollard")),
        block(2, 0, 0, 1, shaft),
        block(3, 0, 0, 1),
        block(3, 0, 0, 0),
    ]
    record = scan(tmp_path, template_tree(blocks, ("minecraft:air", "quayworks:shaft")))
    assert record.cells[:, :3].tolist() == [[1, 0, 0], [2, 0, 0]]
    assert record.integers.tolist() == [3]
    assert record.leftovers.duplicate == 2
    assert record.leftovers.unknown == (("quayworks:bollard", 1),)
    assert not len(record.bare)


def test_blocks_that_lack_their_entity_are_bare(tmp_path: Path) -> None:
    blocks = [
        block(0, 0, 0, 0),
        block(1, 0, 0, 0, data("quayworks:shaft")),
        block(2, 0, 0, 0, data("quayworks:bollard")),
        block(3, 0, 0, 0, compound(Speed=integer(1))),
        block(4, 0, 0, 1),
    ]
    record = scan(tmp_path, template_tree(blocks, ("quayworks:shaft[axis=x]", "minecraft:air")))
    assert record.bare[:, :3].tolist() == [[0, 0, 0], [3, 0, 0]]
    assert {record.states[row[3]].name for row in record.bare.tolist()} == {"quayworks:shaft"}
    assert record.leftovers.malformed == 1


def test_unknown_names_of_a_wanted_namespace_are_counted_once_a_palette(tmp_path: Path) -> None:
    states = ("quayworks:bitt[a=b]", "quayworks:bitt[a=c]", "quayworks:shaft", "minecraft:dirt")
    record = scan(tmp_path, template_tree([block(0, 0, 0, 0)], states))
    assert record.strangers == (("quayworks:bitt", 1),)


def test_of_several_palettes_the_first_is_read(tmp_path: Path) -> None:
    blocks = [block(0, 0, 0, 0, data("quayworks:shaft"))]
    both = list_of(palette("quayworks:shaft[axis=x]"), palette("quayworks:shaft[axis=y]"))
    record = scan(tmp_path, template_tree(blocks, changes={"palette": None, "palettes": both}))
    assert [str(state) for state in record.states] == ["quayworks:shaft[axis=x]"]
    assert look(record).several_palettes


def test_a_list_of_one_palette_is_nothing_to_tell(tmp_path: Path) -> None:
    one = list_of(palette("quayworks:shaft[axis=y]"))
    blocks = [block(0, 0, 0, 0, data("quayworks:shaft"))]
    record = scan(tmp_path, template_tree(blocks, changes={"palettes": one}))
    assert [str(state) for state in record.states] == ["quayworks:shaft[axis=y]"]
    assert not look(record).several_palettes


def test_an_empty_template_is_read_and_has_nothing(tmp_path: Path) -> None:
    record = scan(tmp_path, template_tree([], ()))
    assert look(record).fault is None
    assert not len(record.cells)


@pytest.mark.parametrize("order", [("palette", "blocks"), ("blocks", "palette")])
def test_the_order_of_a_templates_values_does_not_matter(
    tmp_path: Path, order: tuple[str, str]
) -> None:
    values = {
        "blocks": list_of(block(0, 0, 0, 0, data("quayworks:shaft"))),
        "palette": palette("quayworks:shaft"),
    }
    root = compound_of({name: values[name] for name in order} | {"DataVersion": integer(3955)})
    assert len(scan(tmp_path, tree(root)).cells) == 1


@pytest.mark.parametrize("version", [1451, 1952, 3955, 9999])
def test_a_templates_data_version_is_that_of_its_candidates(tmp_path: Path, version: int) -> None:
    blocks = [block(0, 0, 0, 0, data("quayworks:shaft"))]
    record = scan(tmp_path, template_tree(blocks, changes={"DataVersion": integer(version)}))
    assert record.cells[:, 5].tolist() == [version]
    assert look(record).data_versions == (version,)


def test_a_template_whose_stream_lacks_its_trailer_is_read(tmp_path: Path) -> None:
    whole = gzip.compress(template_tree([block(0, 0, 0, 0, data("quayworks:shaft"))]), mtime=0)
    file = template_file(tmp_path, whole[:-8], packed=False)
    assert len(scan_template(file, WANTED, LIMITS).cells) == 1


SHAFT = block(0, 0, 0, 0, data("quayworks:shaft"))
UNUSABLE: dict[str, tuple[bytes, str]] = {
    "no blocks": (template_tree([], changes={"blocks": None}), "no-template"),
    "blocks of another kind": (template_tree([], changes={"blocks": compound()}), "no-template"),
    "no palette": (template_tree([], changes={"palette": None}), "no-template"),
    "no palette among several": (
        template_tree([], changes={"palette": None, "palettes": list_of()}),
        "no-template",
    ),
    "another file of the game": (tree(compound(Data=compound(Time=long(7)))), "no-template"),
    "no version": (template_tree([SHAFT], changes={"DataVersion": None}), "version-missing"),
    "a version that is a text": (
        template_tree([SHAFT], changes={"DataVersion": text("3955")}),
        "version-missing",
    ),
    "from before 1.13": (
        template_tree([SHAFT], changes={"DataVersion": integer(1450)}),
        "old-template",
    ),
    "palettes of numbers": (
        template_tree([SHAFT], changes={"palettes": list_of(integer(1))}),
        "bad-palette",
    ),
    "a palette of numbers": (
        template_tree([SHAFT], changes={"palette": list_of(integer(1))}),
        "bad-palette",
    ),
    "a state without a name": (
        template_tree([SHAFT], changes={"palette": list_of(compound())}),
        "bad-palette",
    ),
    "blocks that are numbers": (
        template_tree([], changes={"blocks": list_of(integer(1))}),
        "bad-block",
    ),
    "no place": (template_tree([compound(state=integer(0))]), "bad-block"),
    "a place of two": (
        template_tree([compound(pos=list_of(integer(0), integer(0)), state=integer(0))]),
        "bad-block",
    ),
    "a place of decimals": (
        template_tree([compound(pos=list_of(*[double(0)] * 3), state=integer(0))]),
        "bad-block",
    ),
    "a place in an array": (
        template_tree([compound(pos=int_array([0, 0, 0]), state=integer(0))]),
        "bad-block",
    ),
    "no state": (template_tree([compound(pos=list_of(*[integer(0)] * 3))]), "bad-block"),
    "a state that is a text": (
        template_tree([compound(pos=list_of(*[integer(0)] * 3), state=text("0"))]),
        "bad-block",
    ),
    "a state below zero": (template_tree([SHAFT, block(1, 0, 0, -1)]), "bad-block"),
    "a state beyond all counts": (
        template_tree([compound(pos=list_of(*[integer(0)] * 3), state=long(2**40))]),
        "bad-block",
    ),
    "a state that the palette lacks": (template_tree([SHAFT, block(1, 0, 0, 1)]), "bad-block"),
    "a palette without entries": (template_tree([SHAFT], ()), "bad-block"),
    "a root of another kind": (named("", integer(1)), "bad-nbt"),
    "an unknown tag": (
        template_tree([SHAFT], changes={"size": Tag(77, b"")}),
        "bad-nbt",
    ),
    "a false length": (
        template_tree([], changes={"blocks": Tag(9, b"\x0a\xff\xff\xff\xff")}),
        "bad-nbt",
    ),
    "a number of blocks that are not there": (
        template_tree([], changes={"blocks": Tag(9, b"\x0a\x00\x0f\x00\x00")}),
        "bad-block",
    ),
    "nothing": (b"", "cut-short"),
}


@pytest.mark.parametrize("case", UNUSABLE)
def test_a_template_that_makes_no_sense_is_a_fault_and_gives_nothing(
    tmp_path: Path, case: str
) -> None:
    content, expected = UNUSABLE[case]
    assert reason(scan(tmp_path, content)) == expected
    listing = list_template(template_file(tmp_path, content), LIMITS)
    assert listing.looked.faults == scan(tmp_path, content).looked.faults
    assert listing.rows == ()


@pytest.mark.parametrize("entity", [compound(id=text("quayworks:shaft"), a=Tag(99, b"")), byte(1)])
def test_damage_within_a_blocks_data_is_seen_too(tmp_path: Path, entity: Tag) -> None:
    record = scan(tmp_path, template_tree([SHAFT, block(1, 0, 0, 0, entity)]))
    if entity.number == 10:
        assert reason(record) == "bad-nbt"
    else:
        # Data of another kind is no block entity.
        assert record.bare[:, :3].tolist() == [[1, 0, 0]]


def test_a_file_that_was_not_compressed_is_a_fault(tmp_path: Path) -> None:
    file = template_file(tmp_path, template_tree([SHAFT]), packed=False)
    assert reason(scan_template(file, WANTED, LIMITS)) == "bad-gzip-stream"


def test_every_cut_of_a_template_is_a_fault(tmp_path: Path) -> None:
    content = template_tree([SHAFT, block(1, 0, 0, 0)])
    for length in range(len(content) - 1):
        assert reason(scan(tmp_path, content[:length])) in ("cut-short", "bad-nbt"), length
    packed = gzip.compress(content, mtime=0)
    for length in range(0, len(packed) - 12, 5):
        file = template_file(tmp_path, packed[:length], packed=False)
        assert reason(scan_template(file, WANTED, LIMITS)) in ("cut-short", "bad-gzip-stream")


def test_altered_templates_end_as_read_or_as_a_fault(tmp_path: Path) -> None:
    blocks = [block(x, 0, 0, x % 2, data("quayworks:shaft", Speed=integer(x))) for x in range(6)]
    content = template_tree(blocks, ("quayworks:shaft", "quayworks:keel"))
    chance = random.Random(11)
    for _ in range(400):
        changed = bytearray(content)
        for _ in range(chance.randint(1, 4)):
            changed[chance.randrange(len(changed))] = chance.randrange(256)
        record = scan(tmp_path, bytes(changed))
        if look(record).fault is not None:
            reason(record)
        assert list_template(template_file(tmp_path, bytes(changed)), LIMITS).looked == look(record)


def test_as_many_blocks_as_the_limit_are_read_and_one_more_is_not(tmp_path: Path) -> None:
    content = template_tree([block(x, 0, 0, 0, data("quayworks:shaft")) for x in range(5)])
    assert len(scan(tmp_path, content, limits=replace(LIMITS, template_blocks=5)).cells) == 5
    four = scan(tmp_path, content, limits=replace(LIMITS, template_blocks=4))
    assert reason(four) == "too-large"


def test_as_many_bytes_as_the_limit_are_read_and_one_more_is_not(tmp_path: Path) -> None:
    content = template_tree([SHAFT])
    exact = replace(LIMITS, template_bytes=len(content))
    assert len(scan(tmp_path, content, limits=exact).cells) == 1
    less = replace(LIMITS, template_bytes=len(content) - 1)
    assert reason(scan(tmp_path, content, limits=less)) == "too-large"


def test_a_small_file_that_inflates_beyond_the_limit_is_given_up(tmp_path: Path) -> None:
    packer = zlib.compressobj(9, zlib.DEFLATED, 31)
    bomb = b"".join(packer.compress(bytes(2**20)) for _ in range(64)) + packer.flush()
    file = template_file(tmp_path, bomb, packed=False)
    small = replace(LIMITS, template_bytes=2**20)
    assert reason(scan_template(file, WANTED, small)) == "too-large"


def test_a_large_file_is_not_read_whole(tmp_path: Path) -> None:
    file = template_file(tmp_path, bytes(2**18), packed=False)
    small = replace(LIMITS, template_bytes=2**16)
    assert reason(scan_template(file, WANTED, small)) == "too-large"


def test_tags_and_nesting_are_bounded(tmp_path: Path) -> None:
    deep = integer(1)
    for _ in range(600):
        deep = compound(a=deep)
    assert reason(scan(tmp_path, template_tree([block(0, 0, 0, 0, deep)]))) == "bad-nbt"
    many = list_of(*[compound()] * 200)
    content = template_tree([SHAFT], changes={"entities": many})
    few = replace(LIMITS, tags=100, template_blocks=1)
    assert reason(scan(tmp_path, content, limits=few)) == "bad-nbt"
    enough = replace(LIMITS, tags=300, template_blocks=1)
    assert len(scan(tmp_path, content, limits=enough).cells) == 1


def test_a_template_that_is_missing_or_links_out_is_a_fault(tmp_path: Path) -> None:
    inside = tmp_path / "templates"
    inside.mkdir()
    file = template_file(inside, template_tree([SHAFT]))
    file.path.rename(tmp_path / "crane.nbt")
    assert reason(scan_template(file, WANTED, LIMITS)) == "cannot-open"
    file.path.symlink_to(tmp_path / "crane.nbt")
    assert reason(scan_template(file, WANTED, LIMITS)) == "link-leaves-save"


def test_a_folder_in_place_of_a_template_is_a_fault(tmp_path: Path) -> None:
    file = template_file(tmp_path, b"")
    file.path.unlink()
    file.path.mkdir()
    assert reason(scan_template(file, WANTED, LIMITS)) == "cannot-open"


def test_reading_leaves_the_template_as_it_was(tmp_path: Path) -> None:
    file = template_file(tmp_path, template_tree([SHAFT]))
    before = file.path.read_bytes(), file.path.stat().st_mtime_ns
    scan_template(file, WANTED, LIMITS)
    list_template(file, LIMITS)
    assert (file.path.read_bytes(), file.path.stat().st_mtime_ns) == before


def test_the_inventory_lists_every_entity_with_its_block_and_numbers(tmp_path: Path) -> None:
    blocks = [
        block(0, 0, 0, 0, data("quayworks:shaft", Speed=integer(4))),
        block(1, 0, 0, 1, data("quayworks:bollard")),
        block(0, 0, 0, 1, data("quayworks:shaft", Speed=integer(-4), x=integer(77))),
        block(2, 0, 0, 1, compound(Speed=integer(9))),
    ]
    content = template_tree(blocks, ("quayworks:shaft", "quayworks:keel"))
    listing = list_template(template_file(tmp_path, content), LIMITS)
    rows = [
        (tuple(at), listing.ids[name], listing.states[state].name)
        for at, name, state in listing.rows
    ]
    assert rows == [
        ((0, 0, 0), "quayworks:shaft", "quayworks:shaft"),
        ((1, 0, 0), "quayworks:bollard", "quayworks:keel"),
        ((0, 0, 0), "quayworks:shaft", "quayworks:keel"),
    ]
    (field,) = listing.fields.ranges()
    assert (field.id, field.path, field.least, field.greatest) == (
        "quayworks:shaft",
        "Speed",
        -4,
        4,
    )


def test_tables_of_a_template_are_of_the_kinds_that_records_have(tmp_path: Path) -> None:
    record = scan(tmp_path, template_tree([SHAFT, block(1, 0, 0, 0)]))
    assert record.cells.dtype == record.bare.dtype == record.readings.dtype == np.int32
