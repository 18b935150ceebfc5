"""How much is read before a chunk or template is given up: bounds on hostile or broken data."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """Bounds of reading one chunk or one structure template.

    Parameters
    ----------
    inflated_bytes
        Largest inflated size of a chunk. Real chunks reach 0.3 MB (docs/save-format.md).
    tags
        Most tags walked in a chunk; a template may have eight more for each of its blocks. Real
        chunks have 73 to 660 on average.
    depth
        Deepest nesting of lists and compounds; the game itself refuses more than 512.
    palette_entries
        Most entries of all palettes of a chunk together, or of a template's. Real palettes have at
        most some hundreds; 24 sections of 4,096 different blocks would have 98,304.
    state_bytes
        Most stored bytes of one entry of a palette: a block's name and properties.
    parts
        Most block entities of one chunk, and most parts that are kept of one region file.
    template_bytes
        Largest inflated size of a structure template; a block takes some 40 bytes.
    template_blocks
        Most blocks of a structure template. The game's own structure blocks save at most 48³,
        110,592.
    """

    inflated_bytes: int = 32 * 1024 * 1024
    tags: int = 4_000_000
    depth: int = 512
    palette_entries: int = 300_000
    state_bytes: int = 4096
    parts: int = 500_000
    template_bytes: int = 128 * 1024 * 1024
    template_blocks: int = 2_000_000
