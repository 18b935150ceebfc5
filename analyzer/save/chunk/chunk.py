"""One chunk, judged: how its slot ends, and what it lists.

Every rule goes by the chunk itself, never by its folder or by ``level.dat``: one folder mixes
versions, since the game upgrades a chunk only when it next loads and saves it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk.entries import Entry, iter_entries
from analyzer.save.chunk.outline import Outline, read_outline
from analyzer.save.chunk.palette import PaletteReader
from analyzer.save.chunk.section_places import SectionPlaces
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.chunk.versions import FIRST_NAMED, FIRST_UNWRAPPED
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import Stream
from analyzer.save.nbt.walker import COMPOUND, Cursor, TruncatedError

# Most chunks hold no part; a process that meets none does without the sections' numpy.
if TYPE_CHECKING:
    from analyzer.save.chunk.sections import Sections

#: Tells what stands in a chunk that was inflated whole, or nothing.
ChartWhole: TypeAlias = Callable[[bytes], "Charted | None"]

# First data version whose stages of generation have the names of 1.14.
_FIRST_FULL: Final = 1912
_FINISHED: Final = frozenset({b"full", b"minecraft:full"})
_FINISHED_BEFORE: Final = _FINISHED | {b"fullchunk", b"postprocessed"}

_PALETTES: Final = frozenset({b"Palette", b"block_states"})


@dataclass(slots=True)
class Charted:
    """What stands in a chunk that is sound from its root to its end.

    Parameters
    ----------
    before
        Its outline before the list of block entities.
    outline
        Its outline.
    entries, places
        As of `ChunkContent`.
    """

    before: Outline
    outline: Outline
    entries: list[Entry]
    places: SectionPlaces


@dataclass(slots=True)
class ChunkContent:
    """A chunk that could be read.

    Parameters
    ----------
    status
        How its slot ends: sifted, or one of the statuses of a chunk walked whole.
    data_version
        Its data version, where it was met.
    entries
        Its block entities in stored order.
    data
        Its tree, as far as it was inflated.
    places
        Where its sections stand, if that was noted in passing.
    """

    status: SlotStatus
    outline: Outline
    entries: list[Entry]
    data: bytes
    limits: Limits
    places: SectionPlaces | None = None

    @property
    def data_version(self) -> int | None:
        """The chunk's data version, where it was met."""
        return self.outline.data_version

    @property
    def layout_version(self) -> int:
        """The data version to read what it stores by; only for a chunk that is not old."""
        version = self.outline.data_version
        # The game keeps it in 32 bits; a wider one is not true, but no reason to stop.
        return FIRST_UNWRAPPED if version is None else max(-(2**31), min(version, 2**31 - 1))

    def sections(self, palettes: PaletteReader) -> Sections:
        """Return its blocks; only for a chunk that was walked whole.

        Raises
        ------
        DamageError
            Where the list of sections makes no sense.
        """
        from analyzer.save.chunk.sections import Sections

        return Sections(
            self.data,
            self.limits,
            outline=self.outline,
            places=self.places or SectionPlaces(self.data, self.limits),
            palettes=palettes,
        )


def read_chunk(
    stream: Stream,
    chunk: Chunk,
    limits: Limits,
    *,
    for_blocks: bool = False,
    chart: ChartWhole | None = None,
) -> ChunkContent:
    """Inflate and walk a chunk whole.

    Parameters
    ----------
    stream, chunk
        As for `sift_chunk`.
    for_blocks
        Whether it is likely that its `sections` will be asked for; the walk then takes a little
        longer, and they need none of their own.
    chart
        Asked before the chunk is walked.

    Raises
    ------
    DamageError, MalformedError
        Where it cannot be read.
    """
    stream.grow(limits.inflated_bytes + 1)
    charted = chart(stream.data) if chart is not None else None
    if charted is not None:
        data, outline = stream.data, charted.outline
        status = _status(outline, chunk, data, limits)
        return ChunkContent(status, outline, charted.entries, data, limits, charted.places)
    try:
        places = SectionPlaces(stream.data, limits) if for_blocks else None
        return _read(stream.data, chunk, limits, places)
    except TruncatedError as error:
        raise cut_short(error) from error


def _read(data: bytes, chunk: Chunk, limits: Limits, places: SectionPlaces | None) -> ChunkContent:
    outline = read_outline(
        Cursor(data, limits),
        up_to_entities=False,
        pass_sections=None if places is None else places.note,
    )
    status = _status(outline, chunk, data, limits)
    at = outline.entities_at
    entries = [] if at is None else list(iter_entries(Cursor(data, limits, at), limits.parts))
    return ChunkContent(status, outline, entries, data, limits, places)


def check_place(outline: Outline, chunk: Chunk, *, complete: bool) -> None:
    """Make sure that a chunk does not say that it is another one.

    Parameters
    ----------
    outline, chunk
        What it says, and what its slot is for.
    complete
        Whether all of it was seen, so that it must say which chunk it is.

    Raises
    ------
    DamageError
        Otherwise.
    """
    if outline.cx is None or outline.cz is None:
        if complete:
            raise DamageError("place-missing", "it does not say which chunk it is")
    elif (outline.cx, outline.cz) != chunk:
        raise DamageError("wrong-place", f"it says that it is chunk ({outline.cx}, {outline.cz})")


def _status(outline: Outline, chunk: Chunk, data: bytes, limits: Limits) -> SlotStatus:
    if outline.odd is not None:
        raise DamageError("odd-chunk", f"its {outline.odd} is not of the kind that it should be")
    check_place(outline, chunk, complete=True)
    if outline.wrapped and _is_old(data, outline, limits):
        return SlotStatus.OLD
    if outline.status is None and not outline.wrapped:
        raise DamageError("status-missing", "it does not say how far it was generated")
    return SlotStatus.READ if is_finished(outline) else SlotStatus.UNFINISHED


def _is_old(data: bytes, outline: Outline, limits: Limits) -> bool:
    if outline.data_version is not None:
        return outline.data_version < FIRST_NAMED
    at = outline.sections_at
    if at is None or not _names_blocks(Cursor(data, limits, at)):
        return True
    raise DamageError("version-missing", "it has no data version, yet is no chunk from before 1.9")


def _names_blocks(cursor: Cursor) -> bool:
    """Return whether a list of sections has a palette, as from 1.13 on."""
    for tag in cursor.elements():
        if tag == COMPOUND:
            found = False
            for name, _ in cursor.compound():
                found |= name in _PALETTES
            if found:
                return True
    return False


def is_finished(outline: Outline) -> bool:
    """Return whether the generator has finished a chunk."""
    # A chunk of 1.13 to 1.17 without a status counts as just begun, as in the game.
    version = outline.data_version
    before = outline.wrapped and version is not None and version < _FIRST_FULL
    return outline.status in (_FINISHED_BEFORE if before else _FINISHED)


def sifted_status(outline: Outline) -> SlotStatus | None:
    """Return how the slot of a chunk ends that holds nothing wanted, by what came before its list.

    None where that does not tell.
    """
    if outline.data_version is not None and outline.data_version < FIRST_NAMED:
        return None
    unfinished = outline.status is not None and not is_finished(outline)
    return SlotStatus.UNFINISHED if unfinished else SlotStatus.SIFTED


def cut_short(error: TruncatedError) -> DamageError:
    """Return the damage of a chunk whose bytes end too soon."""
    return DamageError("cut-short", f"the chunk ends after {error.offset:,} inflated bytes")
