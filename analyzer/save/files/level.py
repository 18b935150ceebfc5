"""What ``level.dat`` says about a save: its name and its data version."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from analyzer.base.limits import Limits
from analyzer.save.files.fault import Fault
from analyzer.save.files.opening import is_file, leaves, open_for_reading, why
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import GZIP, open_stream
from analyzer.save.nbt.walker import BYTE, COMPOUND, LONG, STRING, Cursor, WalkError

LEVEL_FILE: Final = "level.dat"
# The game keeps the file's last state, and falls back on it.
_BACKUP_FILE: Final = "level.dat_old"

# Real files have a few kilobytes; mods may add some hundreds.
_LARGEST_BYTES: Final = 64 * 1024 * 1024

# A section sign and the character after it set a colour in the game.
_COLOUR: Final = re.compile("§.?")

#: Unicode categories of what must not reach a terminal: control, format (directional marks among
#: them), surrogate, line and paragraph separator.
INVISIBLE: Final = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})


@dataclass(frozen=True)
class Level:
    """What is known of the world itself; `title` is None where it has no usable name."""

    title: str | None
    data_version: int | None


def has_level(folder: Path) -> bool:
    """Return whether a folder has a ``level.dat``, or the copy that the game keeps of it."""
    return any(is_file(folder / name) for name in (LEVEL_FILE, _BACKUP_FILE))


def read_level(
    folder: Path, limits: Limits, *, boundary: Path | None = None
) -> tuple[Level, tuple[Fault, ...]]:
    """Read ``level.dat`` of a save, or the game's copy of it where it cannot be read.

    Parameters
    ----------
    folder
        The save.
    limits
        Bounds of reading it.
    boundary
        The folder that links must not lead out of; None: the save.

    Returns
    -------
    level, faults
        A level without title and version where neither file is there or can be read; a fault for
        each file that is there and cannot be read.
    """
    faults: list[Fault] = []
    for name in (LEVEL_FILE, _BACKUP_FILE):
        try:
            return _read(folder / name, boundary or folder, limits), tuple(faults)
        except FileNotFoundError:
            continue
        except DamageError as damage:
            faults.append(Fault("", name, None, damage.reason, damage.detail))
        except WalkError as error:
            faults.append(Fault("", name, None, "bad-nbt", f"{error} of the inflated file"))
        except OSError as error:
            detail = f"the file cannot be read: {why(error)}"
            faults.append(Fault("", name, None, "cannot-open", detail))
    return Level(None, None), tuple(faults)


def clean_text(text: str) -> str:
    r"""Return a text without colour codes and without characters that steer a terminal.

    >>> clean_text("§6Tidal\x1b[2J quay\u202e")
    'Tidal[2J quay'
    """
    plain = _COLOUR.sub("", text)
    return "".join(c for c in plain if unicodedata.category(c) not in INVISIBLE).strip()


def _read(path: Path, boundary: Path, limits: Limits) -> Level:
    if leaves(path, boundary):
        raise DamageError("link-leaves-save", "the file is a link out of the save")
    with open_for_reading(path) as file:
        stored = file.read(_LARGEST_BYTES)
    stream = open_stream(GZIP, stored, limit=limits.inflated_bytes)
    stream.grow(limits.inflated_bytes + 1)
    title, version = None, None
    cursor = Cursor(stream.data, limits)
    for key, tag in cursor.root():
        if key == b"Data" and tag == COMPOUND:
            for inner_key, inner_tag in cursor.compound():
                if inner_key == b"LevelName" and inner_tag == STRING:
                    title = clean_text(cursor.text()) or None
                elif inner_key == b"DataVersion" and BYTE <= inner_tag <= LONG:
                    version = int(cursor.number(inner_tag))
    return Level(title, version)
