"""Where on a sheet a position is."""

from __future__ import annotations

from typing import TypeAlias

from analyzer.base.place import Block
from analyzer.report.drawing.sheet import Sheet

#: A part by its place on the sheet, or a position without one.
Spot: TypeAlias = int | list[int]


class Spots:
    """Finds the part at a position of a sheet; elsewhere the position stands for itself."""

    def __init__(self, sheet: Sheet) -> None:
        parts = sheet.parts
        names = [sheet.dimensions[number] for number in parts.dimension.tolist()]
        places = zip(names, parts.xyz.tolist(), strict=True)
        self._part = {(name, *xyz): part for part, (name, xyz) in enumerate(places)}

    def part(self, dimension: str, block: Block) -> int | None:
        """Return the part's place on the sheet, or None where none is drawn there."""
        return self._part.get((dimension, *block))

    def __call__(self, dimension: str, block: Block) -> Spot:
        """Return the part's place on the sheet, or the position where none is drawn."""
        part = self.part(dimension, block)
        return list(block) if part is None else part
