"""Writing a save: blocks and block entities by dimension to region files."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from pathlib import Path

from analyzer.base.place import Chunk, slot_of
from analyzer.demo.chunk import chunk_nbt
from analyzer.demo.compress import compress
from analyzer.demo.content import Content, Placement
from analyzer.demo.level import level_dat
from analyzer.demo.manner import Manner
from analyzer.demo.region import external_slot_bytes, fits_inside, region_bytes, slot_bytes


def write_save(
    folder: Path,
    dimensions: Mapping[str, Content],
    *,
    manner: Manner = Manner(),  # noqa: B008 (frozen)
    title: str = "written by lineshaft",
) -> None:
    """Write a save: ``level.dat`` and the region files of each dimension.

    Equal input gives equal bytes. Files of the same names are overwritten, others stay.

    Parameters
    ----------
    folder
        The save's folder; made where it is missing.
    dimensions
        What each dimension holds, by name such as ``minecraft:overworld``. A dimension without
        any chunk gets an empty region folder.
    manner
        Data version, compression, and so on.
    title
        The world's name.

    Raises
    ------
    ValueError
        For a block that the layout cannot hold.

    Examples
    --------
    >>> import tempfile
    >>> from analyzer.demo.content import place
    >>> shaft = place((3, 64, -20), "quayworks:line_shaft[axis=x]", {"id": "quayworks:line_shaft"})
    >>> with tempfile.TemporaryDirectory() as name:
    ...     write_save(Path(name), {"minecraft:overworld": Content((shaft,))})
    ...     sorted(path.name for path in Path(name).rglob("*.*"))
    ['level.dat', 'r.-1.-1.mca', 'r.0.-1.mca']
    """
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "level.dat").write_bytes(
        level_dat(title=title, data_version=manner.data_version, dimensions=dimensions)
    )
    for name, content in dimensions.items():
        write_regions(folder / manner.region_folder(name), content, manner=manner)


def write_regions(
    folder: Path,
    content: Content,
    *,
    manner: Manner = Manner(),  # noqa: B008 (frozen)
) -> None:
    """Write the region files of one dimension into a folder, made where it is missing.

    Raises
    ------
    ValueError
        For a block that the layout cannot hold.
    """
    folder.mkdir(parents=True, exist_ok=True)
    regions: dict[tuple[int, int], dict[int, bytes]] = defaultdict(dict)
    by_chunk = _by_chunk(content.placements)
    for chunk in _chunks(by_chunk, content, manner.ring_chunks):
        slot = content.broken.get(chunk)
        if slot is None:
            slot = _chunk_slot(folder, chunk, by_chunk.get(chunk, ()), content, manner)
        regions[chunk.cx >> 5, chunk.cz >> 5][slot_of(chunk)] = slot
    for (rx, rz), slots in regions.items():
        (folder / f"r.{rx}.{rz}.mca").write_bytes(region_bytes(slots))


def _by_chunk(placements: Iterable[Placement]) -> dict[Chunk, list[Placement]]:
    found: dict[Chunk, list[Placement]] = defaultdict(list)
    for placement in placements:
        found[Chunk(placement.at.x >> 4, placement.at.z >> 4)].append(placement)
    return found


def _chunks(by_chunk: Iterable[Chunk], content: Content, ring: int) -> list[Chunk]:
    reach = range(-ring, ring + 1)
    found = {Chunk(cx + dx, cz + dz) for cx, cz in by_chunk for dx in reach for dz in reach}
    found |= content.empty | content.unfinished | content.broken.keys()
    return sorted(found - content.absent)


def _chunk_slot(
    folder: Path, chunk: Chunk, blocks: Iterable[Placement], content: Content, manner: Manner
) -> bytes:
    nbt = chunk_nbt(chunk, tuple(blocks), manner, finished=chunk not in content.unfinished)
    payload = compress(nbt, manner.compression)
    if (manner.external and blocks) or not fits_inside(payload):
        (folder / f"c.{chunk.cx}.{chunk.cz}.mcc").write_bytes(payload)
        return external_slot_bytes(manner.compression)
    return slot_bytes(payload, manner.compression)
