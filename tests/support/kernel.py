"""The compiled kernel for tests, and chunks to try it on."""

from __future__ import annotations

import random
import struct
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

import deflate
import pytest

from analyzer.base.place import Chunk
from analyzer.save.compiled import load
from analyzer.save.compiled.keep import Code
from analyzer.save.compiled.load import Kernel
from analyzer.save.files.locate import locate_save
from tests.damage.make_corpus import iter_corpus
from tests.outside.test_real_saves import SAVES, WORLDS


@cache
def made_code() -> Code:
    """Return what is compiled; nothing is kept of it. Skips where it cannot be made."""
    pytest.importorskip("numba", reason="needs numba, of the extra `compiled`")
    from analyzer.save.compiled.build import make_code

    return make_code()


@cache
def compiled_kernel() -> Kernel:
    """Return the kernel as machine code; skips as `made_code` does."""
    return load.load_code(made_code())


@cache
def checked_functions() -> dict[str, Any]:
    pytest.importorskip("numba")
    from analyzer.save.compiled.build import compiled_namespace

    return compiled_namespace(boundscheck=True)


class Strict(Sequence[int]):
    """Numbers of which none may be asked for that is not there."""

    def __init__(self, numbers: bytes | list[int]) -> None:
        self.numbers = numbers

    def __len__(self) -> int:
        return len(self.numbers)

    def __getitem__(self, at: Any) -> Any:
        assert 0 <= at < len(self.numbers), f"{at} of {len(self.numbers)}"
        return self.numbers[at]

    def __setitem__(self, at: int, value: int) -> None:
        assert 0 <= at < len(self.numbers), f"{at} of {len(self.numbers)}"
        assert isinstance(self.numbers, list)
        self.numbers[at] = value


def real_chunks(most: int) -> Iterator[tuple[bytes, Chunk]]:
    """Iterate over some chunks of every region of the real saves."""
    for save in (*SAVES, "twoolie-nbt/damaged"):
        for region in locate_save(WORLDS / save).regions:
            stored = region.path.read_bytes()
            slots = [n for n in range(1024) if stored[4 * n : 4 * n + 4].strip(b"\0")]
            for slot in slots[:: max(1, len(slots) // most)]:
                at = int.from_bytes(stored[4 * slot : 4 * slot + 3], "big") * 4096
                (length,) = struct.unpack_from(">i", stored.ljust(at + 4, b"\0"), at)
                try:
                    data = deflate.zlib_decompress(stored[at + 5 : at + 4 + length], 1 << 21)
                except (deflate.DeflateError, ValueError):
                    continue
                chunk = Chunk(32 * region.rx + slot % 32, 32 * region.rz + slot // 32)
                yield bytes(data), chunk


def altered(whole: Sequence[bytes], count: int, seed: int) -> Iterator[bytes]:
    """Iterate over chunks with some bytes altered, left out, doubled or moved."""
    chance = random.Random(seed)
    telling = b"\x00\x01\x02\x03\x04\x08\x09\x0a\x0b\x0c\x0d\x7f\x80\xff"
    for _ in range(count):
        data = bytearray(chance.choice(whole))
        for _ in range(chance.choice((1, 1, 1, 2, 4))):
            at = chance.randrange(len(data))
            match chance.randrange(5):
                case 0:
                    data[at] = chance.choice(telling)
                case 1:
                    data[at] ^= 1 << chance.randrange(8)
                case 2:
                    del data[at : at + chance.choice((1, 2, 4, 9))]
                case 3:
                    data[at:at] = data[at : at + chance.choice((1, 2, 5, 30))]
                case _:
                    del data[at + 1 :]
            if not data:
                break
        yield bytes(data)


def corpus_chunks() -> Iterator[tuple[bytes, Chunk]]:
    """Iterate over what stands in the slots of the damaged region files."""
    for damage in iter_corpus():
        data = damage.data
        for slot in range(min(4096, len(data)) // 4):
            at = int.from_bytes(data[4 * slot : 4 * slot + 3], "big") * 4096
            if not 8192 <= at < len(data) - 5:
                continue
            payload = data[at + 5 : at + 4 + int.from_bytes(data[at : at + 4], "big")]
            try:
                inflated = bytes(deflate.zlib_decompress(payload, 1 << 16))
            except (deflate.DeflateError, ValueError):
                inflated = payload
            yield inflated, Chunk(slot % 32, slot // 32)
