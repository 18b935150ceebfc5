"""What the compiled walk says of a chunk, as far as that is all there is to say."""

from __future__ import annotations

import ctypes
from collections.abc import Set
from struct import Struct
from typing import Final

from analyzer.base.limits import Limits
from analyzer.save.chunk.chunk import sifted_status
from analyzer.save.chunk.outline import Outline
from analyzer.save.chunk.tally import Tally
from analyzer.save.compiled.kernel import (
    IDS,
    MET_CX,
    MET_CZ,
    MET_LEVEL,
    MET_STATUS,
    MET_VERSION,
    NOTED_ROOM,
)
from analyzer.save.compiled.load import Kernel
from analyzer.save.compiled.octets import DEPTH, STACK_ROOM

_PLACED: Final = MET_CX | MET_CZ
_NOTED: Final = Struct(f"={IDS}q").unpack_from
_KINDS: Final = Struct("=3q").iter_unpack
_NUMBER_BYTES: Final = 8
_KIND_BYTES: Final = 3 * _NUMBER_BYTES

# Limits within which the plain walk cannot stop for one. No byte makes it count more tags than two,
# and it opens no more containers than these beside those in a value that is passed over.
_TAGS_A_BYTE: Final = 2
_DEPTH_BESIDE: Final = 8

_address = ctypes.addressof
_first_byte = ctypes.c_char.from_buffer


def most_bytes(limits: Limits) -> int:
    """Return up to which size of a chunk the compiled walk cannot go beyond limits on numbers."""
    # A block entity has one byte at least.
    return min(limits.tags // _TAGS_A_BYTE, limits.parts)


class QuickWalk:
    """The compiled walk and search, with room of their own.

    Parameters
    ----------
    kernel
        The machine code.
    marks, ids, limits, tally
        As for `WholeSift`.
    """

    def __init__(
        self,
        kernel: Kernel,
        marks: tuple[bytes, ...],
        ids: Set[bytes],
        limits: Limits,
        tally: Tally,
    ) -> None:
        self._walk, self._may_hold = kernel.walk_chunk, kernel.may_hold
        self._ids = frozenset(ids)
        self._tally = tally
        self._most_bytes = most_bytes(limits)
        self._noted = (ctypes.c_int64 * NOTED_ROOM)()
        self._stack = (ctypes.c_int64 * STACK_ROOM)()
        self._kinds = memoryview(self._noted).cast("B")[_NUMBER_BYTES * IDS :]
        self._noted_at = ctypes.c_void_p(_address(self._noted))
        self._stack_at = ctypes.c_void_p(_address(self._stack))
        self._marks = [(mark, ctypes.create_string_buffer(mark, len(mark))) for mark in marks]
        # By what a walk met, data version and status in modified UTF-8.
        self._told: dict[tuple[int, int | None, bytes | None], tuple[int, int | None]] = {}

    @staticmethod
    def keeps(limits: Limits) -> bool:
        """Return whether the compiled walk stays within such limits."""
        return limits.depth >= DEPTH + _DEPTH_BESIDE

    def holds_mark(self, data: bytearray) -> bool:
        """Return whether a chunk holds one of the marks."""
        for mark, stored in self._marks:
            size = len(mark)
            if 0 < size <= len(data) and not self._may_hold(
                _address(_first_byte(data)), len(data), _address(stored), size
            ):
                continue
            if data.rfind(mark) >= 0:
                return True
        return False

    def tell(self, data: bytearray, chunk: tuple[int, int]) -> tuple[int, int | None] | None:
        """Return how a slot ends and its chunk's data version, and count its block entities.

        None where the chunk must be walked by `analyzer.save.nbt.walker`: it is not sure to be
        sound, or its list names a wanted id, or it is of another place, or of a version before
        names.
        """
        size = len(data)
        if not 0 < size <= self._most_bytes:
            return None
        if not self._walk(_address(_first_byte(data)), size, self._noted_at, self._stack_at):
            return None
        met, version, cx, cz, status_at, status_end, unnamed, kinds = _NOTED(self._noted)
        if met & _PLACED == _PLACED and (cx, cz) != chunk:
            return None
        key = (
            met,
            version if met & MET_VERSION else None,
            bytes(data[status_at:status_end]) if met & MET_STATUS else None,
        )
        told = self._told.get(key)
        if told is None:
            status = _status(*key)
            if status is None:
                return None
            told = self._told[key] = status, key[1]
        if kinds and not self._count(data, kinds):
            return None
        self._tally.malformed += unnamed
        return told

    def _count(self, data: bytearray, kinds: int) -> bool:
        """Count the ids of block entities.

        False, and none is counted, if one of them is wanted or they cannot all be remembered.
        """
        unknown = self._tally.unknown
        found, fresh = [], []
        for at, end, count in _KINDS(self._kinds[: _KIND_BYTES * kinds]):
            name = bytes(data[at:end])
            found.append((name, count))
            # What was counted is not wanted.
            if name not in unknown:
                fresh.append(name)
        if fresh and not (self._ids.isdisjoint(fresh) and self._tally.has_room(fresh)):
            return False
        for name, count in found:
            unknown[name] += count
        return True


def _status(met: int, version: int | None, status: bytes | None) -> int | None:
    return sifted_status(
        Outline(wrapped=bool(met & MET_LEVEL), data_version=version, status=status)
    )
