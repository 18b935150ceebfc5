"""The folder that stores lie in: what is ours in it, and keeping it small."""

from __future__ import annotations

import contextlib
import os
import re
import stat
from pathlib import Path
from typing import Final

#: Most bytes of all stores of one folder together: those used longest ago go first.
MOST_BYTES: Final = 2 * 1024**3
#: Time in seconds after which a store that was not used goes: 90 days.
LONGEST_UNUSED_SECONDS: Final = 90 * 86_400

# A file that was begun and never finished, by a run that was ended from outside, goes after a day.
_LONGEST_BEGUN_SECONDS: Final = 86_400
_STORE: Final = re.compile(r"[0-9a-f]{32}\.store")
_BEGUN: Final = re.compile(r"[0-9a-f]{32}\.store\.\w+\.part")
_TAG: Final = "CACHEDIR.TAG"
# Source of the text: https://bford.info/cachedir/
_TAG_TEXT: Final = """Signature: 8a477f597d28d172789f06886806bc55
# What lineshaft keeps of the saves it has read, to read less the next time.
# This folder may be deleted at any time.
"""


def store_path(folder: Path, identity: bytes) -> Path:
    """Return where the store for something lies."""
    return folder / f"{identity.hex()[:32]}.store"


def begun_affixes(path: Path) -> tuple[str, str]:
    """Return what the name of a store's file begins and ends with while it is being written."""
    return f"{path.name}.", ".part"


def make_folder(folder: Path) -> None:
    """Make the folder, for its owner alone; one that exists is left as it is.

    Raises
    ------
    OSError
        Where it cannot be made.
    """
    if folder.is_dir():
        return
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=0o700, exist_ok=True)
    # Backups pass over a folder with this file; one that somebody else made is not ours to mark.
    with contextlib.suppress(FileExistsError), (folder / _TAG).open("x", encoding="ascii") as tag:
        tag.write(_TAG_TEXT)


def drop_old(folder: Path, *, keep: Path, now_seconds: float) -> None:
    """Delete stores that were not used for long, and the least used ones of too many.

    Parameters
    ----------
    folder
        Where they lie; no other file in it is touched.
    keep
        The store that is not to be deleted.
    now_seconds
        The time, in seconds since 1970.
    """
    room = MOST_BYTES
    found = []
    with os.scandir(folder) as entries:
        for entry in entries:
            longest = _longest_seconds(entry.name)
            if longest is None:
                continue
            with contextlib.suppress(OSError):
                result = entry.stat(follow_symlinks=False)
                if entry.name == keep.name:
                    room -= result.st_size
                elif stat.S_ISREG(result.st_mode):
                    found.append(
                        (now_seconds - result.st_mtime, longest, entry.name, result.st_size)
                    )
    for unused, longest, name, size in sorted(found):
        room -= size
        if unused > longest or room < 0:
            with contextlib.suppress(OSError):
                (folder / name).unlink()


def _longest_seconds(name: str) -> float | None:
    """Return how long a file of ours may stay unused; None for any other file."""
    if _STORE.fullmatch(name):
        return LONGEST_UNUSED_SECONDS
    return _LONGEST_BEGUN_SECONDS if _BEGUN.fullmatch(name) else None
