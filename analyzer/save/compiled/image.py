"""Machine code as the bytes that run, in a file that the system maps: no compiler is needed.

What was compiled needs nothing but itself, so that it can lie anywhere; it is mapped as the system
maps its own libraries, to be read and run and not to be written. Linux alone: elsewhere, and where
that is forbidden, `analyzer.save.compiled.objects` serves.
"""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path
from struct import Struct, iter_unpack
from typing import Final

from analyzer.save.compiled.keep import Code, keep, kept_path, read_kept

_KIND: Final = "image"
_ALIGNED_BYTES: Final = 64

# ELF (System V ABI, "Object Files"), 64 bits, little-endian: a file's kind and where its sections
# are listed; a section's kind, flags, place and size; a symbol's kind, section and value.
_FILE: Final = Struct("<4sBB10xH22xQ10xHHH").unpack_from
_SECTION: Final = "<4xIQ8xQQ24x"
_SYMBOL: Final = "<IBxHQ8x"
_RELOCATABLE: Final = 1
_PROGRAM, _SYMBOLS, _RELOCATIONS = 1, 2, (4, 9)
_ALLOCATED, _RUNNABLE = 2, 4
_GLOBAL_FUNCTION: Final = 0x12

# Of what Linux says of a processor, that by which its code may differ.
_TELLING: Final = frozenset(
    [
        "vendor_id",
        "cpu family",
        "model",
        "model name",
        "flags",
        "CPU implementer",
        "CPU architecture",
        "CPU variant",
        "CPU part",
        "Features",
    ]
)
_FEATURES: Final = frozenset({"flags", "Features"})
_INFO_BYTES: Final = 16 * 1024


def keep_image(code: Code) -> Path | None:
    """Keep machine code for this processor, and return the file; None where it cannot be an image.

    Raises
    ------
    OSError
        Where that cannot be done.
    """
    processor = _processor()
    pieces = {name: runnable_piece(data) for name, (_, data) in code.items()}
    if processor is None or None in pieces.values():
        return None
    head, body = [], b""
    for name, piece in pieces.items():
        assert piece is not None
        entry, text = piece
        body = body.ljust(-(-len(body) // _ALIGNED_BYTES) * _ALIGNED_BYTES, b"\0")
        head.append(f"{name} {len(body) + entry}")
        body += text
    return keep(kept_path(processor, _KIND), ",".join(head).encode() + b"\n" + body)


def map_image() -> dict[str, int] | None:
    """Return the addresses of the entries; None where nothing is kept for this processor.

    They stay where they are as long as the process lives.

    Raises
    ------
    OSError
        Where the system does not map it.
    """
    processor = _processor()
    if processor is None:
        return None
    try:
        file = os.open(kept_path(processor, _KIND), os.O_RDONLY)
    except FileNotFoundError:
        return None
    try:
        kept = read_kept(file)
        if kept is None:
            return None
        data, before = kept
        head, _, body = data.partition(b"\n")
        at = _mapped(file, before + len(data)) + before + len(head) + 1
        # In the order of their names' ends.
        pairs = (entry.decode().split(" ") for entry in head.split(b","))
        return {name: at + int(entry) for name, entry in pairs if int(entry) < len(body)}
    finally:
        os.close(file)


def runnable_piece(data: bytes) -> tuple[int, bytes] | None:
    """Return where a function begins in the code of an object file, and the code.

    None unless it is all that the file has: no data beside it, no other function that could be
    meant, and nothing that would have to be filled in for it to run anywhere.
    """
    if len(data) < 64:
        return None
    magic, bits, order, kind, sections_at, size, count, _ = _FILE(data)
    if (magic, bits, order, kind, size) != (b"\x7fELF", 2, 1, _RELOCATABLE, 64):
        return None
    sections = list(iter_unpack(_SECTION, data[sections_at : sections_at + 64 * count]))
    if any(kind in _RELOCATIONS for kind, *_ in sections):
        return None
    loaded = [n for n, (_, flags, _, size) in enumerate(sections) if flags & _ALLOCATED and size]
    symbols = [data[at : at + size] for kind, _, at, size in sections if kind == _SYMBOLS]
    if len(loaded) != 1 or len(symbols) != 1:
        return None
    (text,) = loaded
    kind, flags, at, size = sections[text]
    entries = [
        value
        for _, kind, section, value in iter_unpack(_SYMBOL, symbols[0])
        if kind == _GLOBAL_FUNCTION and section == text
    ]
    if kind != _PROGRAM or not flags & _RUNNABLE or len(entries) != 1:
        return None
    return entries[0], data[at : at + size]


def _mapped(file: int, size: int) -> int:
    import mmap

    # Python's own mapping does not say where it is unless it can be written.
    library = ctypes.CDLL(None, use_errno=True)
    number, address = ctypes.c_int, ctypes.c_void_p
    library.mmap.argtypes = (address, ctypes.c_size_t, number, number, number, ctypes.c_int64)
    library.mmap.restype = address
    at = library.mmap(None, size, mmap.PROT_READ | mmap.PROT_EXEC, mmap.MAP_PRIVATE, file, 0)
    if at in (None, address(-1).value):
        raise OSError(ctypes.get_errno(), "the machine code cannot be mapped")
    return int(at)


def _processor() -> str | None:
    """Return what tells this processor from others; None where that is not known."""
    if sys.platform != "linux" or sys.maxsize < 2**32 or sys.byteorder != "little":
        return None
    try:
        with Path("/proc/cpuinfo").open("rb", buffering=0) as file:
            said = file.read(_INFO_BYTES).decode("ascii", "replace").partition("\n\n")[0]
    except OSError:
        return None
    pairs = [tuple(map(str.strip, line.split(":", 1))) for line in said.splitlines() if ":" in line]
    if not any(name in _FEATURES for name, _ in pairs):
        return None
    told = [f"{name}:{value}" for name, value in pairs if name in _TELLING]
    return "\n".join([os.uname().machine, *told])
