"""A region file from the bytes of its chunks."""

from __future__ import annotations

import struct
from collections.abc import Mapping
from typing import Final

from analyzer.base.place import SLOTS
from analyzer.demo.manner import Compression

#: Bytes of a sector, the unit of a region file.
SECTOR_BYTES: Final = 4096
_HEADER_SECTORS: Final = 2
_MOST_SECTORS: Final = 255
_EXTERNAL_FLAG: Final = 128


def fits_inside(payload: bytes) -> bool:
    """Tell whether a compressed chunk can lie in its region file, or needs a file of its own."""
    return len(payload) + 5 <= _MOST_SECTORS * SECTOR_BYTES


def slot_bytes(payload: bytes, compression: Compression) -> bytes:
    """Return what stands in the sectors of a chunk that lies in its region file."""
    return struct.pack(">IB", len(payload) + 1, compression) + payload


def external_slot_bytes(compression: Compression) -> bytes:
    """Return what stands in the sectors of a chunk that lies in a file of its own.

    >>> external_slot_bytes(Compression.ZLIB).hex()
    '0000000182'
    """
    return struct.pack(">IB", 1, compression | _EXTERNAL_FLAG)


def region_bytes(slots: Mapping[int, bytes]) -> bytes:
    """Lay out a region file: header, then the chunks in the order of their slots.

    Parameters
    ----------
    slots
        What stands in the sectors of each slot, 0 to 1023; at most 255 sectors each. None gives a
        file of two sectors of zeros.

    Raises
    ------
    ValueError
        For a slot that does not exist, or holds nothing or too much.
    """
    locations = [0] * SLOTS
    body = []
    sector = _HEADER_SECTORS
    for slot in sorted(slots):
        data = slots[slot]
        count = -(-len(data) // SECTOR_BYTES)
        if not (0 <= slot < SLOTS and 1 <= count <= _MOST_SECTORS):
            raise ValueError(f"slot {slot} cannot hold {len(data)} bytes")
        locations[slot] = sector << 8 | count
        body.append(data.ljust(count * SECTOR_BYTES, b"\0"))
        sector += count
    header = struct.pack(f">{SLOTS}I", *locations) + bytes(SECTOR_BYTES)
    return header + b"".join(body)
