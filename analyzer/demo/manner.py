"""How a save is written: data version, compression, and what follows from the data version.

Source of every data version below: docs/save-format.md, Chunks by version.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from pathlib import PurePosixPath
from typing import Final

_PALETTES_SINCE: Final = 1451
_NEW_STATUS_NAMES_SINCE: Final = 1912
_WHOLE_LONGS_SINCE: Final = 2529
_BLOCK_STATES_SINCE: Final = 2836
_ROOT_LAYOUT_SINCE: Final = 2844
_TALL_WORLDS_SINCE: Final = 2844
_STATUS_PREFIX_SINCE: Final = 3465
_ONE_FOLDER_PER_DIMENSION_SINCE: Final = 4774

_OLD_FOLDERS: Final = {
    "minecraft:overworld": PurePosixPath("region"),
    "minecraft:the_nether": PurePosixPath("DIM-1/region"),
    "minecraft:the_end": PurePosixPath("DIM1/region"),
}


class Compression(IntEnum):
    """How a chunk is compressed, by the number in its header."""

    GZIP = 1
    ZLIB = 2
    NONE = 3
    LZ4 = 4


@dataclass(frozen=True)
class Manner:
    """The manner in which a save is written.

    Parameters
    ----------
    data_version
        Version of the chunk data, 1451 (1.13's palettes) or later; decides the layouts.
    compression
        Compression of every chunk.
    external
        Put every chunk with blocks into a file of its own beside the region file. A chunk too
        large for its region file goes there in any case.
    ring_chunks
        How many chunks round each chunk with blocks are written finished and empty, so that what
        points across a chunk's border points at air that was read. 0 writes none.

    Raises
    ------
    ValueError
        For a data version before 1451.
    """

    data_version: int = 3955
    compression: Compression = Compression.ZLIB
    external: bool = False
    ring_chunks: int = 1

    def __post_init__(self) -> None:
        if self.data_version < _PALETTES_SINCE:
            raise ValueError(f"data version {self.data_version} is before {_PALETTES_SINCE}")

    @property
    def spans_longs(self) -> bool:
        """Whether a packed index may begin in one long and end in the next."""
        return self.data_version < _WHOLE_LONGS_SINCE

    @property
    def has_block_states(self) -> bool:
        """Whether palette and indices stand in a compound of their own."""
        return self.data_version >= _BLOCK_STATES_SINCE

    @property
    def has_root_layout(self) -> bool:
        """Whether sections and block entities stand at the root, not under ``Level``."""
        return self.data_version >= _ROOT_LAYOUT_SINCE

    @property
    def marks_packed_entities(self) -> bool:
        """Whether block entities of finished chunks carry ``keepPacked``."""
        return self.data_version >= _NEW_STATUS_NAMES_SINCE

    @property
    def sections(self) -> range:
        """Heights of the sections that a chunk of the overworld can have, in sections."""
        return range(-4, 20) if self.data_version >= _TALL_WORLDS_SINCE else range(16)

    def status(self, *, finished: bool) -> str:
        """Return the chunk status for a finished or a half-made chunk."""
        if self.data_version < _NEW_STATUS_NAMES_SINCE:
            return "postprocessed" if finished else "decorated"
        name = "full" if finished else "features"
        return f"minecraft:{name}" if self.data_version >= _STATUS_PREFIX_SINCE else name

    def region_folder(self, dimension: str) -> PurePosixPath:
        """Return the folder of a dimension's region files, relative to the save.

        >>> str(Manner(3955).region_folder("minecraft:the_nether"))
        'DIM-1/region'
        >>> str(Manner(4790).region_folder("minecraft:the_nether"))
        'dimensions/minecraft/the_nether/region'
        """
        if dimension in _OLD_FOLDERS and self.data_version < _ONE_FOLDER_PER_DIMENSION_SINCE:
            return _OLD_FOLDERS[dimension]
        namespace, _, path = dimension.rpartition(":")
        return PurePosixPath("dimensions", namespace or "minecraft", path, "region")
