"""Targets of the scan of region files and templates: the quick way must be the plain one."""

from __future__ import annotations

import gzip
from contextlib import AbstractContextManager
from functools import cache
from typing import Final
from unittest import mock

from analyzer.catalogue.load import load_catalogues
from analyzer.catalogue.wanted import wanted_paths
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.disclosure.disclose_source import disclose_source
from analyzer.save.disclosure.disclose_tree import addresses_in, has_owner, read_tree
from analyzer.save.disclosure.look_around import StoredTree
from analyzer.save.files import file_state
from analyzer.save.files.level import read_level
from analyzer.save.files.save_files import RegionFile, TemplateFile
from analyzer.save.inventory.list_region import list_region
from analyzer.save.inventory.list_template import list_template
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.walker import WalkError
from analyzer.save.reading.looked import Looked, RegionSlots
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.record_codec import RecordDecoder, encode_record, is_lasting
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.scan.scan_template import scan_template
from analyzer.save.scan.wanted import Wanted
from analyzer.save.sift import known_leads
from tests.fuzz import seeds
from tests.fuzz.forms import ChunksForm, SlotsForm
from tests.fuzz.invariants import LIMITS, check_fault, check_looked, known
from tests.fuzz.mutate import Mutator
from tests.fuzz.target import Target, workspace


@cache
def wanteds() -> tuple[Wanted, Wanted, Wanted]:
    """Return what is looked for: block entities alone, blocks too, every byte."""
    entities = {
        "quayworks:shaft": (("Rpm",), ("Drive", "Speeds", 0)),
        **wanted_paths(load_catalogues(["quayworks"])),
    }
    blocks = frozenset({"quayworks:line_shaft", "quayworks:keel"})
    bare = frozenset({"quayworks:tide_wheel", "quayworks:lathe"})
    names = {"entity_blocks": bare, "namespaces": frozenset({"quayworks"})}
    return (
        Wanted(entities),
        Wanted(entities, blocks, **names, known_blocks=bare),
        Wanted(entities, blocks, every_byte=True, **names),
    )


# So many files that machine code is worth its making, where there is a compiler.
_MANY: Final = 10**9


def as_if_old() -> AbstractContextManager[object]:
    """Let files that were just written pass for files that nobody writes."""
    return mock.patch.object(file_state, "SETTLED_NS", 0)


def scan_file(data: bytes, external: bytes | None = None) -> str:
    """Scan a region file in every way; they must agree."""
    with as_if_old():
        return _scan_region(_region(data, external))


def _scan_region(region: RegionFile) -> str:
    folder = region.boundary
    *sifting, every = wanteds()
    wanted = sifting[region.path.stat().st_size // 4096 % 2]
    # What earlier inputs taught must make no difference either, but would be hard to repeat.
    known_leads._recent = []
    quick = scan_region(region, wanted, LIMITS)
    plain = scan_region(region, wanted, LIMITS, quick=False)
    assert quick == plain, "the quick way and the plain one differ"
    assert scan_region(region, wanted, LIMITS) == plain, "they differ once more is known"
    assert scan_region(region, wanted, LIMITS, sources=_MANY) == plain, "machine code differs"
    whole = scan_region(region, every, LIMITS)
    words = check_looked(plain.looked, folder)
    check_looked(whole.looked, folder)
    _check_statuses(plain.looked, whole.looked)
    check_codec(plain, wanted, region)
    check_codec(whole, every, region)
    listed = list_region(region, LIMITS).looked
    disclosed = disclose_source(region, LIMITS).looked
    check_looked(listed, folder)
    check_looked(disclosed, folder)
    _check_statuses(listed, whole.looked)
    # Of chunks that are not finished, only the share check looks at palettes.
    _check_statuses(disclosed, whole.looked, SlotStatus.UNFINISHED)
    return words


def _region(data: bytes, external: bytes | None = None) -> RegionFile:
    folder = workspace()
    path = folder / "r.0.0.mca"
    path.write_bytes(data)
    beside = folder / "c.0.0.mcc"
    beside.unlink(missing_ok=True)
    if external is not None:
        beside.write_bytes(external)
    return RegionFile("unnamed", 0, 0, path.name, path, folder)


def check_codec(record: ScanRecord, wanted: Wanted, region: RegionFile) -> None:
    """Hold what is kept of a record to the record."""
    assert isinstance(record.looked, RegionSlots)
    decoded = RecordDecoder(wanted).decode(encode_record(record), region, pieces=True)
    assert decoded == record
    is_lasting(record)


def run_slots(data: bytes) -> str:
    """Scan the region file of a `SlotsForm`."""
    form = SlotsForm.of(data)
    return scan_file(form.file(), form.external)


def run_chunks(data: bytes) -> str:
    """Scan the region file of a `ChunksForm`."""
    form = ChunksForm.of(data)
    with as_if_old():
        words = _scan_region(_region(form.file()))
        _scan_again(form)
    return words


def _scan_again(form: ChunksForm) -> None:
    """Scan a region of which half was known before."""
    region = _region(ChunksForm(form.chunks[::2]).file())
    former = [scan_region(region, wanted, LIMITS) for wanted in wanteds()]
    _region(form.file())
    for wanted, record in zip(wanteds(), former, strict=True):
        fresh = scan_region(region, wanted, LIMITS)
        assert scan_region(region, wanted, LIMITS, former=record) == fresh


def mutate_slots(mutator: Mutator, data: bytes, other: bytes) -> bytes:
    """Change where slots lead, what stands there, or where the file ends."""
    form, random = SlotsForm.of(data), mutator.random
    locations, body, lost = list(form.locations), form.body, form.lost
    match random.randrange(5):
        case 0:
            sector = random.choice((0, 1, 2, 2, 3, 4, len(body) // 4096 + 2, 2**24 - 1))
            count = random.choice((0, 1, 1, 2, 255))
            locations.append((random.choice((0, 1, 165, 31, 1023)), sector << 8 | count))
        case 1 if locations:
            at = random.randrange(len(locations))
            location = int.from_bytes(mutator.number(4), "big")
            locations[at] = (locations[at][0], location)
        case 2 if body:
            # A chunk's own header: its length and its compression.
            at = 4096 * random.randrange(-(-len(body) // 4096))
            kind = bytes([random.choice((0, 1, 2, 3, 4, 5, 127, 129, 130, 255))])
            head = mutator.number(4) if random.random() < 0.6 else body[at : at + 4]
            body = body[:at] + head + kind + body[at + 5 :]
        case 3:
            lost = random.choice((0, 1, 4, 5, 4095, 4096, 8191, 8192, random.randrange(20_000)))
        case _:
            body = mutator.bytes(body, other)
    return SlotsForm(locations[-12:], form.external, body, lost).packed()


def mutate_chunks(mutator: Mutator, data: bytes, other: bytes) -> bytes:
    """Change the trees of some chunks, or which chunk is where."""
    chunks = list(ChunksForm.of(data).chunks) or [(0, 2, b"")]
    others = [tree for _, _, tree in ChunksForm.of(other).chunks] or [b""]
    random = mutator.random
    for _ in range(random.choice((1, 1, 2, 3))):
        at = random.randrange(len(chunks))
        slot, kind, tree = chunks[at]
        match random.randrange(8):
            case 0:
                chunks[at] = (random.choice((0, 1, 32, slot)), kind, tree)
            case 1:
                chunks[at] = (slot, random.choice((1, 2, 3, 4)), tree)
            case 2:
                chunks.append((random.randrange(1024), 2, random.choice(others)))
            case _:
                changed = mutator.tree(tree, random.choice(others))
                chunks[at] = (slot, kind, changed[:65_535])
    return ChunksForm(chunks[-12:]).packed()


def run_level(data: bytes) -> str:
    """Read ``level.dat``, packed anew, or as it is where that is how it begins."""
    folder = workspace()
    (folder / "level.dat").write_bytes(
        data if data[:1] == b"\x1f" else gzip.compress(data, 1, mtime=0)
    )
    level, faults = read_level(folder, LIMITS)
    for fault in faults:
        check_fault(fault, folder)
    assert level.title is None or level.title.isprintable()
    check_tree(StoredTree("level.dat", folder / "level.dat", folder))
    return faults[0].reason if faults else "titled" if level.title else "untitled"


def check_tree(tree: StoredTree) -> None:
    """Look through a stored tree for addresses: it ends, or says why it cannot."""
    try:
        found = read_tree(tree, LIMITS)
        if found is not None:
            has_owner(tree.file, found, LIMITS)
            for field, _, text in addresses_in(found, LIMITS):
                assert len(field) <= 201
                assert 0 < len(text) <= 200
    except DamageError as damage:
        known(damage.reason)
    except WalkError:
        pass


def run_template(data: bytes) -> str:
    """Read a structure template in every way."""
    folder = workspace()
    path = folder / "crane.nbt"
    path.write_bytes(data if data[:1] == b"\x1f" else gzip.compress(data, 1, mtime=0))
    file = TemplateFile("template:crane", "crane.nbt", path, folder)
    looked: list[Looked] = [list_template(file, LIMITS).looked]
    looked.append(disclose_source(file, LIMITS).looked)
    looked += [scan_template(file, wanted, LIMITS).looked for wanted in wanteds()[1:]]
    words = {check_looked(one, folder) for one in looked}
    assert len(words) == 1, words
    return words.pop()


def _check_statuses(sifted: Looked, whole: Looked, *further: SlotStatus) -> None:
    """What is found without reading every byte is found by reading them, too."""
    assert isinstance(sifted, RegionSlots)
    assert isinstance(whole, RegionSlots)
    unreadable, absent = SlotStatus.UNREADABLE, SlotStatus.ABSENT
    for one, other in zip(sifted.status, whole.status, strict=True):
        assert one != unreadable or other in (unreadable, *further)
        assert (one == absent) == (other == absent)
        assert other != SlotStatus.SIFTED


TARGETS = (
    Target("slots", seeds.slots, mutate_slots, run_slots, share=4),
    Target("chunks", seeds.chunks, mutate_chunks, run_chunks, share=3),
    Target("level", seeds.levels, Mutator.tree, run_level, share=1),
    Target("template", seeds.templates, Mutator.tree, run_template, share=1),
)
