"""Chunks as the compiled walk charts them."""

from __future__ import annotations

import ctypes
from struct import Struct
from typing import Final

from analyzer.base.limits import Limits
from analyzer.base.place import Block
from analyzer.save.chunk.chunk import Charted
from analyzer.save.chunk.entries import Entry
from analyzer.save.chunk.outline import Outline
from analyzer.save.chunk.section_places import Section, SectionPlaces
from analyzer.save.compiled.chart import (
    CHART_ROOM,
    CX_AT,
    CZ_AT,
    ENTITIES,
    ENTITIES_AT,
    ENTITY_ROW,
    ENTITY_ROWS,
    MET_BEFORE,
    SECTION_ROW,
    SECTION_ROWS,
    SECTIONS,
    SECTIONS_AT,
    VERSION_AT,
)
from analyzer.save.compiled.kernel import (
    CX,
    CZ,
    MET,
    MET_CX,
    MET_CZ,
    MET_LEVEL,
    MET_LIST,
    MET_SECTIONS,
    MET_STATUS,
    MET_VERSION,
    STATUS_AT,
    STATUS_END,
    VERSION,
)
from analyzer.save.compiled.load import Kernel
from analyzer.save.compiled.octets import STACK_ROOM
from analyzer.save.compiled.quick_walk import most_bytes

_NUMBER_BYTES: Final = 8
_HEAD: Final = Struct(f"={SECTION_ROWS}q").unpack_from
_SECTION: Final = Struct(f"={SECTION_ROW}q")
_ENTITY: Final = Struct(f"={ENTITY_ROW}q")


class QuickChart:
    """Charts whole chunks by machine code.

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

    def chart(self, data: bytes) -> Charted | None:
        """Chart a chunk; None where it must be walked by `analyzer.save.nbt.walker`."""
        size = len(data)
        if not 0 < size <= self._most_bytes:
            return None
        if not self._kernel.chart_chunk(data, size, self._noted_at, self._stack_at):
            return None
        head = _HEAD(self._noted)
        met, sections_at, sections = head[MET], head[SECTIONS_AT], head[SECTIONS]
        before, entities = head[MET_BEFORE], head[ENTITIES]
        places = {sections_at: self._by_height(sections)} if met & MET_SECTIONS else {}
        listed = bool(met & MET_LIST)
        return Charted(
            # Without a version, what lies in a `Level` cannot be judged before the end.
            _outline(data, head, before | MET_LIST)
            if listed and before & (MET_LEVEL | MET_VERSION) != MET_LEVEL
            else Outline(),
            _outline(data, head, met),
            self._entries(data, entities) if listed else [],
            SectionPlaces(data, self._limits, places),
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


def _outline(data: bytes, head: tuple[int, ...], met: int) -> Outline:
    dated, cx_met, cz_met = met & MET_VERSION, met & MET_CX, met & MET_CZ
    return Outline(
        wrapped=bool(met & MET_LEVEL),
        data_version=head[VERSION] if dated else None,
        cx=head[CX] if cx_met else None,
        cz=head[CZ] if cz_met else None,
        status=data[head[STATUS_AT] : head[STATUS_END]] if met & MET_STATUS else None,
        entities_at=head[ENTITIES_AT] if met & MET_LIST else None,
        sections_at=head[SECTIONS_AT] if met & MET_SECTIONS else None,
        version_at=head[VERSION_AT] if dated else None,
        cx_at=(head[CX_AT], head[CX_AT + 1]) if cx_met else None,
        cz_at=(head[CZ_AT], head[CZ_AT + 1]) if cz_met else None,
    )
