"""Targets of what else a stranger may send: catalogues, and what is kept of earlier runs."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Final

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.load import load_catalogue_text
from analyzer.catalogue.read import read_document
from analyzer.save.disclosure.addresses import find_addresses, may_hold_addresses
from analyzer.save.files.save_files import RegionFile
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.record_codec import RecordDecoder, encode_record
from analyzer.save.scan.scan_region import scan_region
from analyzer.store.packed import digest_of
from analyzer.store.store import Store
from tests.fuzz import seeds
from tests.fuzz.forms import ChunksForm
from tests.fuzz.invariants import LIMITS
from tests.fuzz.mutate import Mutator
from tests.fuzz.scanning import wanteds
from tests.fuzz.target import Target, workspace

_NAME: Final = "strange.toml"
_TEXTS: Final = (
    "see https://quay.example/map?x=1, or ask mate@quay.example.org",
    r'{"text":"C:\\Users\\mate\\saves"} or D:/games or \\boathouse\share\quay',
    "/home/mate/.saves /Users/mate 192.0.2.7:25565 2001:db8::7 1.20.1",
)
#: Bytes of a text that is written many times over; one of them is looked at further.
_LONGEST: Final = 1 << 20
_IDENTITY: Final = bytes(32)
_HEAD_BYTES: Final = 20 + 32 + 8


def run_catalogue(data: bytes) -> str:
    """Load a catalogue: it serves, or every mistake has a line, what was found and expected."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        (mistake,) = _mistakes(lambda: read_document(data, _NAME))
        assert "UTF-8" in mistake.found
        return "not UTF-8"
    mistakes = _mistakes(lambda: load_catalogue_text(text, _NAME))
    for mistake in mistakes:
        assert mistake.file == _NAME
        assert 0 <= mistake.line <= text.count("\n") + 1
        assert mistake.found
        assert mistake.expected
        assert str(mistake).isprintable(), str(mistake)
        assert len(str(mistake)) < 2_000
    if mistakes:
        return "not TOML" if "TOML" in mistakes[0].found else "mistakes"
    return "loads"


def _mistakes(load: Callable[[], object]) -> tuple[Mistake, ...]:
    try:
        load()
    except CatalogueError as error:
        return error.mistakes
    return ()


def addresses() -> list[bytes]:
    """Return texts with addresses and paths of each kind."""
    return [text.encode() for text in _TEXTS]


def run_address(data: bytes) -> str:
    """Look for addresses in any text: what is found stands in it, soon."""
    text = decode_text(data[:65_535])
    found = list(find_addresses(text))
    assert len(found) <= 20
    assert all(0 < len(address) <= 200 and address in text for _, address in found)
    assert not found or may_hold_addresses(data[:65_535])
    return " ".join(sorted({kind.value for kind, _ in found})) or "none"


def mutate_text(mutator: Mutator, data: bytes, other: bytes) -> bytes:
    """Change a text, or write it many times over."""
    changed = mutator.bytes(data, other)
    times = mutator.random.choice((1, 1, 1, 1, 40, 2_000))
    return changed * min(times, max(1, _LONGEST // max(1, len(changed))))


@cache
def records() -> list[bytes]:
    """Return records of the demo's regions as they are kept."""
    return [encode_record(record) for record in _demo_records()]


def run_record(data: bytes) -> str:
    """Decode what is kept of a region: a record that points nowhere else, or no record."""
    folder = workspace()
    region = RegionFile("unnamed", 0, 0, "r.0.0.mca", folder / "r.0.0.mca", folder)
    try:
        record = RecordDecoder(wanteds()[1]).decode(data, region)
    except ValueError:
        return "no record"
    again = RecordDecoder(wanteds()[1]).decode(encode_record(record), region)
    assert again.looked == record.looked
    assert again.cell_bytes == record.cell_bytes
    return "record"


def run_store(data: bytes) -> str:
    """Open a store of any bytes: what it gives is what was kept, or nothing."""
    folder = workspace() / "stores"
    folder.mkdir(mode=0o700, exist_ok=True)
    path = folder / f"{_IDENTITY.hex()[:32]}.store"
    path.write_bytes(data)
    path.chmod(0o600)
    pieces = frozenset(piece for _, piece in _pieces())
    with Store(folder, _IDENTITY) as store:
        found = [name for name, _ in _pieces() if _given(store, name, pieces)]
        return f"{len(found)} pieces{', damaged' if store.damaged else ''}"


def mutate_store(mutator: Mutator, data: bytes, other: bytes) -> bytes:
    """Change a store; half the time its index keeps a digest that is true."""
    changed = mutator.bytes(data, other)
    if mutator.random.random() < 0.5:
        return changed
    length = int.from_bytes(data[_HEAD_BYTES - 8 : _HEAD_BYTES], "little")
    index = data[_HEAD_BYTES + 16 : _HEAD_BYTES + 16 + length]
    rest = data[_HEAD_BYTES + 16 + length :]
    index = mutator.bytes(index, index)
    head = data[: _HEAD_BYTES - 8] + len(index).to_bytes(8, "little")
    return head + digest_of(index) + index + rest


def _given(store: Store, name: str, pieces: frozenset[bytes]) -> bool:
    found = store.find(name, b"mark")
    # Who can forge the index may give one piece another's name, but can make no piece.
    assert found is None or found in pieces
    return found is not None


@cache
def _pieces() -> tuple[tuple[str, bytes], ...]:
    return tuple((f"region/{number}", data[:4000]) for number, data in enumerate(records()[:4]))


@cache
def _stores() -> list[bytes]:
    folder = workspace() / "true stores"
    folder.mkdir(mode=0o700)
    for name, piece in _pieces():
        with Store(folder, _IDENTITY) as store:
            store.put(name, b"mark", piece)
            store.write()
    return [file.read_bytes() for file in folder.glob("*.store")]


def _demo_records() -> list[ScanRecord]:
    folder = workspace()
    found = []
    for number, form in enumerate(seeds.chunks()[:8]):
        path = folder / f"r.{number}.0.mca"
        path.write_bytes(ChunksForm.of(form).file())
        region = RegionFile("unnamed", 0, 0, path.name, path, folder)
        found.append(scan_region(region, wanteds()[1], LIMITS))
        path.unlink()
    return found


TARGETS = (
    Target("catalogue", seeds.catalogues, Mutator.text, run_catalogue, share=2),
    Target("address", addresses, mutate_text, run_address, share=1),
    Target("record", records, Mutator.bytes, run_record, share=2),
    Target("store", _stores, mutate_store, run_store, share=1),
)
