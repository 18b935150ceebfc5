"""Chunks read whole as the compiled walk charts them."""

from __future__ import annotations

import ctypes
from struct import Struct
from typing import Final

from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.save.chunk import ChunkContent, whole_status
from analyzer.save.compiled.chart import (
    CHART_ROOM,
    ENTITY_ROW,
    ENTITY_ROWS,
    SECTION_ROW,
    SECTION_ROWS,
)
from analyzer.save.compiled.kernel import (
    MET_CX,
    MET_CZ,
    MET_LEVEL,
    MET_LIST,
    MET_SECTIONS,
    MET_STATUS,
    MET_VERSION,
)
from analyzer.save.compiled.load import Kernel
from analyzer.save.compiled.octets import STACK_ROOM
from analyzer.save.compiled.quick_walk import most_bytes
from analyzer.save.entries import Entry
from analyzer.save.outline import Outline
from analyzer.save.section_places import Section, SectionPlaces

_NUMBER_BYTES: Final = 8
_HEAD: Final = Struct(f"={SECTION_ROWS}q").unpack_from
_SECTION: Final = Struct(f"={SECTION_ROW}q")
_ENTITY: Final = Struct(f"={ENTITY_ROW}q")


class QuickChart:
    """Reads chunks as `read_chunk` does, by machine code.

    Parameters
    ----------
    kernel
        The machine code.
    limits
        Bounds of reading one chunk; those that `QuickWalk.keeps`.
    """

    def __init__(self, kernel: Kernel, limits: Limits) -> None:
        self._kernel = kernel
        self._limits = limits
        self._most_bytes = most_bytes(limits)
        self._noted = (ctypes.c_int64 * CHART_ROOM)()
        self._stack = (ctypes.c_int64 * STACK_ROOM)()
        octets = memoryview(self._noted).cast("B")
        self._sections = octets[_NUMBER_BYTES * SECTION_ROWS :]
        self._entities = octets[_NUMBER_BYTES * ENTITY_ROWS :]
        self._noted_at = ctypes.c_void_p(ctypes.addressof(self._noted))
        self._stack_at = ctypes.c_void_p(ctypes.addressof(self._stack))

    def read(self, data: bytes, chunk: Chunk) -> ChunkContent | None:
        """Return a chunk; None where it must be walked by `analyzer.save.walker`.

        Raises
        ------
        DamageError
            As `read_chunk`.
        """
        size = len(data)
        if not 0 < size <= self._most_bytes:
            return None
        if not self._kernel.chart_chunk(data, size, self._noted_at, self._stack_at):
            return None
        met, version, cx, cz, status_at, status_end, *places, sections, entities = _HEAD(
            self._noted
        )
        entities_at, sections_at = places
        outline = Outline(
            wrapped=bool(met & MET_LEVEL),
            data_version=version if met & MET_VERSION else None,
            cx=cx if met & MET_CX else None,
            cz=cz if met & MET_CZ else None,
            status=data[status_at:status_end] if met & MET_STATUS else None,
            entities_at=entities_at if met & MET_LIST else None,
            sections_at=sections_at if met & MET_SECTIONS else None,
        )
        status = whole_status(outline, chunk, data, self._limits)
        passed = {sections_at: self._by_height(sections)} if met & MET_SECTIONS else {}
        return ChunkContent(
            status,
            outline,
            self._entries(data, entities) if met & MET_LIST else [],
            data,
            self._limits,
            SectionPlaces(data, self._limits, passed),
        )

    def _by_height(self, count: int) -> dict[int, Section]:
        rows = _SECTION.iter_unpack(self._sections[: _SECTION.size * count])
        return {row[0]: Section._make(row[1:]) for row in rows}

    def _entries(self, data: bytes, count: int) -> list[Entry]:
        return [
            Entry(
                data[id_at:id_end] if id_at >= 0 else None,
                Block(x, y, z) if placed else None,
                at,
            )
            for at, id_at, id_end, x, y, z, placed in _ENTITY.iter_unpack(
                self._entities[: _ENTITY.size * count]
            )
        ]
