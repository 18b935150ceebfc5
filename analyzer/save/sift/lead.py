"""The beginning of a chunk as a pattern, learned from a chunk that was walked.

Chunks that one program saved begin alike: the same names, tags, texts and lengths, and only the
values of numbers differ. What the walker says of a chunk that lists no block entity, it says of
every chunk whose bytes agree with it as far as the end of that list in all but those values, since
it goes by nothing else. To compare the bytes takes one call, to walk them some fifty.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from analyzer.base.place import Chunk
from analyzer.save.chunk.chunk import ChunkContent
from analyzer.save.chunk.outline import Outline
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.nbt.walker import (
    ARRAY_WIDTHS,
    BYTE,
    COMPOUND,
    DOUBLE,
    LIST,
    Cursor,
    number_bytes,
)

# A longer beginning is not worth a pattern: what makes it long differs from chunk to chunk.
_LONGEST_BYTES: Final = 16 * 1024


@dataclass(frozen=True, slots=True)
class Lead:
    """How some chunks begin that list no block entity, and what to say of them.

    Parameters
    ----------
    pattern
        What the bytes of the beginning look like, the numbers of the chunk's place as groups.
    match
        The pattern's own test.
    status
        How the slots of such chunks end.
    data_version
        Their data version; None where it does not come before their list.
    place_tags
        Axis (0: x, 1: z) and tag of each group; empty where the place does not come, or not whole,
        before the list.
    """

    pattern: bytes
    match: Callable[[bytes | bytearray], re.Match[bytes] | None]
    status: SlotStatus
    data_version: int | None
    place_tags: tuple[tuple[int, int], ...]

    def tells(self, found: re.Match[bytes], chunk: Chunk) -> bool:
        """Return whether a beginning that matched gives the place of this chunk, if any."""
        return not self.place_tags or found.groups() == tuple(
            number_bytes(chunk[axis], tag) for axis, tag in self.place_tags
        )


def learn_lead(content: ChunkContent) -> Lead | None:
    """Return how a chunk begins; None where it has block entities, or begins at great length.

    Parameters
    ----------
    content
        A chunk that was sifted: walked from its root to the end of its list.
    """
    outline, data = content.outline, content.data
    at = outline.entities_at
    if at is None or content.entries or at > _LONGEST_BYTES:
        return None
    places = _places(outline)
    pattern = []
    here = 0
    for start, stop in _iter_values(Cursor(data, content.limits), at):
        if start == outline.version_at:
            continue
        pattern.append(re.escape(data[here:start]))
        pattern.append((b"(.{%d})" if start in places else b".{%d}") % (stop - start))
        here = stop
    # A list of nothing is its element's tag and its length.
    pattern.append(re.escape(data[here : at + 5]))
    whole = b"".join(pattern)
    tags = tuple(places[start] for start in sorted(places))
    match = re.compile(whole, re.DOTALL).match
    return Lead(whole, match, content.status, outline.data_version, tags)


def _places(outline: Outline) -> dict[int, tuple[int, int]]:
    """Return axis and tag of the numbers that say which chunk it is, by where they stand."""
    if outline.cx_at is None or outline.cz_at is None:
        return {}
    return {at: (axis, tag) for axis, (at, tag) in enumerate((outline.cx_at, outline.cz_at))}


def _iter_values(cursor: Cursor, end: int) -> Iterator[tuple[int, int]]:
    """Iterate over where the values of numbers and arrays stand before a list."""
    opened: list[Iterator[int]] = [_tags(cursor.root())]
    while True:
        tag = next(opened[-1], None)
        at = cursor.at
        if tag is None:
            opened.pop()
        elif at == end:
            return
        elif BYTE <= tag <= DOUBLE:
            cursor.skip(tag)
            yield at, cursor.at
        elif tag in ARRAY_WIDTHS:
            yield cursor.array(tag)[0], cursor.at
        elif tag in (COMPOUND, LIST):
            opened.append(_tags(cursor.compound()) if tag == COMPOUND else cursor.elements())


def _tags(named: Iterator[tuple[bytes, int]]) -> Iterator[int]:
    for _, tag in named:
        yield tag
