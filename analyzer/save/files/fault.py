"""Something in a save that could not be read."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.place import Chunk


@dataclass(frozen=True, order=True)
class Fault:
    """Something in a save that could not be read.

    Parameters
    ----------
    dimension
        Dimension's name; empty for the save as a whole (``level.dat``).
    file
        Path relative to the save, with forward slashes.
    chunk
        The chunk, or None where the whole file (or folder) is meant.
    reason
        Short fixed name of the fault, such as ``bad-zlib-stream``.
    detail
        One clause for people, with no path of this machine in it.
    offset
        Byte offset in the file, or None.
    """

    dimension: str
    file: str
    chunk: Chunk | None
    reason: str
    detail: str
    offset: int | None = None


def fault_order(fault: Fault) -> tuple[str, str, tuple[int, ...], str, str]:
    """Return the key by which faults are sorted: by place, a file before its chunks."""
    return (fault.dimension, fault.file, tuple(fault.chunk or ()), fault.reason, fault.detail)
