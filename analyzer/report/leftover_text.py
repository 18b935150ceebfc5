"""Blocks and numbers that a catalogue names and that could not be used, for people."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

from analyzer.base.place import Block
from analyzer.parts.parts import Parts
from analyzer.report.clean import shown
from analyzer.report.layout import heading, paragraph
from analyzer.report.quantities import counted
from analyzer.report.sentences import place

#: Most kinds of leftover that are listed.
_MOST_KINDS: Final = 20


def iter_leftovers(parts: Parts) -> Iterator[str]:
    """Yield a section on what was left over, alike ones together; nothing where nothing was."""
    kinds: dict[tuple[str, str, str], list[tuple[int, Block]]] = defaultdict(list)
    for one in parts.rejected:
        kinds[one.reason, one.block, one.detail].append((one.dimension, one.at))
    for number in parts.unusable:
        block = str(parts.states[int(parts.state[number.part])])
        where = (int(parts.dimension[number.part]), parts.block_at(number.part))
        detail = f"{number.field.name.lower()}, stored at {number.path}, is {number.found}"
        kinds["unusable-number", block, detail].append(where)
    if not kinds:
        return
    yield "\n"
    yield from heading("Left over: in a catalogue, and yet not used", "=")
    ordered = sorted(kinds.items(), key=lambda item: (-len(item[1]), item[0]))
    for (reason, block, detail), places in ordered[:_MOST_KINDS]:
        dimension, at = min(places)
        text = (
            f"{reason}: {shown(block)}: {shown(detail)} ({counted(len(places), 'block')}, "
            f"the first at {place(at)} in {shown(parts.dimensions[dimension])})"
        )
        yield from paragraph(text, first="  ", rest="    ")
    if len(ordered) > _MOST_KINDS:
        yield f"  ... and {len(ordered) - _MOST_KINDS:,} more kinds.\n"
