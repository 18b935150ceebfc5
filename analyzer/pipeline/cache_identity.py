"""What records are good for: one save, read in one way by one program."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from dataclasses import asdict
from hashlib import blake2b
from pathlib import Path
from typing import Final

from analyzer.base.limits import Limits
from analyzer.report.version import VERSION
from analyzer.save.scan import record_codec
from analyzer.save.scan.wanted import Wanted
from analyzer.store.packed import IDENTITY_BYTES

# Packages whose code decides what a region's record says.
_PACKAGES: Final = ("base", "save")


def cache_identity(root: Path, wanted: Wanted, limits: Limits) -> bytes:
    """Return what tells the records of one save, catalogue and program from all others.

    Parameters
    ----------
    root
        The save's folder.
    wanted
        What the catalogues ask for.
    limits
        Bounds of reading.
    """
    said = {
        "form": record_codec.FORM,
        "version": VERSION,
        "python": sys.version,
        "code": list(_iter_code()),
        "root": os.fsencode(root.resolve()).hex(),
        "entities": sorted(
            (name, sorted(map(repr, paths))) for name, paths in wanted.entities.items()
        ),
        "blocks": sorted(wanted.blocks),
        "every_byte": wanted.every_byte,
        "entity_blocks": sorted(wanted.entity_blocks),
        "namespaces": sorted(wanted.namespaces),
        "known_blocks": sorted(wanted.known_blocks),
        "limits": asdict(limits),
    }
    text = json.dumps(said, sort_keys=True).encode("ascii")
    return blake2b(text, digest_size=IDENTITY_BYTES).digest()


def _iter_code() -> Iterator[tuple[str, int, int]]:
    """Iterate over the files of code that read: those of a checkout change between versions."""
    for package in _PACKAGES:
        folder = Path(__file__).parents[1] / package
        if not folder.is_dir():
            continue
        for file in sorted(folder.glob("*.py")):
            result = file.stat()
            yield f"{package}/{file.name}", result.st_size, result.st_mtime_ns
