"""Telling that a chunk holds nothing wanted, from no more of it than shows that."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from typing import Final

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk.chunk import (
    ChartWhole,
    ChunkContent,
    check_place,
    cut_short,
    sifted_status,
)
from analyzer.save.chunk.entries import Entry, iter_entries
from analyzer.save.chunk.outline import Outline, read_outline
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import Stream
from analyzer.save.nbt.walker import LIST, Cursor, TruncatedError

# How much more is inflated each time that a piece was too little.
_GROWTH: Final = 4

# A larger piece takes longer than the whole, which is inflated another way.
_LARGEST_PIECE: Final = 8 * 1024


def sift_chunk(
    stream: Stream,
    chunk: Chunk,
    wanted: Set[bytes],
    limits: Limits,
    *,
    first_bytes: int,
    marks: Sequence[bytes] = (),
    chart: ChartWhole | None = None,
) -> ChunkContent | None:
    """Look at no more of a chunk than shows that it holds nothing wanted.

    Parameters
    ----------
    stream
        The chunk's bytes; they are inflated as far as needed.
    chunk
        The chunk that the slot is for.
    wanted
        Ids of block entities in modified UTF-8.
    first_bytes
        How much to inflate before the first look.
    marks
        Byte strings of which one stands in every chunk whose palettes matter. If there are any, all
        of the chunk must be inflated.
    chart
        Asked before a chunk is walked that was inflated whole.

    Returns
    -------
    ChunkContent or None
        None where the chunk must be walked whole: its list names a wanted id, or it has no list,
        or it is of a layout that cannot be judged by what came before its list; or what came makes
        no sense; or it holds a mark, or not surely all that was compressed.

    Raises
    ------
    DamageError, MalformedError
        Where it cannot be read.
    """
    size = first_bytes
    while True:
        stream.grow(size)
        try:
            data = stream.data
            charted = chart(data) if chart is not None and stream.ended else None
            if charted is None:
                sifted = _sift(data, chunk, wanted, limits)
            else:
                before, entries = charted.before, charted.entries
                sifted = _sifted(before, entries, chunk, wanted, data=data, limits=limits)
            return None if marks and _may_matter(stream, marks) else sifted
        except DamageError:
            # Of a name that comes twice the last counts, so the rest has to be seen before it is
            # told.
            return None
        except TruncatedError as error:
            if stream.ended:
                raise cut_short(error) from error
        size = _GROWTH * len(stream.data)
        if size > _LARGEST_PIECE:
            size = limits.inflated_bytes + 1


def sift_late(
    data: bytes,
    chunk: Chunk,
    wanted: Set[bytes],
    limits: Limits,
    *,
    first_bytes: int,
    chart: ChartWhole,
) -> ChunkContent | None:
    """Do as `sift_chunk` for a sound chunk that it inflates whole before it can judge it.

    None for any other, though it may hold nothing wanted.

    Parameters
    ----------
    data
        The whole chunk.
    chunk, wanted, limits, first_bytes, chart
        As for `sift_chunk`.
    """
    charted = chart(data)
    if charted is None or charted.before.entities_at is None:
        return None
    cursor = Cursor(data, limits, charted.before.entities_at)
    cursor.skip(LIST)
    size = first_bytes
    while size <= _LARGEST_PIECE:
        if cursor.at <= size:
            return None
        size *= _GROWTH
    try:
        return _sifted(charted.before, charted.entries, chunk, wanted, data=data, limits=limits)
    except DamageError:
        return None


def _sift(data: bytes, chunk: Chunk, wanted: Set[bytes], limits: Limits) -> ChunkContent | None:
    cursor = Cursor(data, limits)
    outline = read_outline(cursor, up_to_entities=True)
    listed = iter_entries(cursor, limits.parts)
    return _sifted(outline, listed, chunk, wanted, data=data, limits=limits)


def _sifted(
    outline: Outline,
    listed: Iterable[Entry],
    chunk: Chunk,
    wanted: Set[bytes],
    *,
    data: bytes,
    limits: Limits,
) -> ChunkContent | None:
    if outline.entities_at is None:
        return None
    status = sifted_status(outline)
    if status is None:
        return None
    entries = []
    for entry in listed:
        if entry.id in wanted:
            return None
        entries.append(entry)
    check_place(outline, chunk, complete=False)
    return ChunkContent(status, outline, entries, data, limits)


def _may_matter(stream: Stream, marks: Sequence[bytes]) -> bool:
    # Searched from behind, since that takes a quarter of the time.
    return not stream.sealed or any(stream.data.rfind(mark) >= 0 for mark in marks)
