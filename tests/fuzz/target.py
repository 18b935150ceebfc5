"""What a target of the fuzzers is, and where its inputs are written."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final, TypeAlias

from tests.fuzz.mutate import Mutator

#: Makes an input of one and, perhaps, pieces of another.
Mutate: TypeAlias = Callable[[Mutator, bytes, bytes], bytes]

# A file system in memory, where there is one: each input is written as a file.
_MEMORY: Final = Path("/dev/shm")


@dataclass(frozen=True)
class Target:
    """Something that must hold whatever its input is.

    Parameters
    ----------
    name
        How the fuzzers' command lines call it.
    seeds
        Gives true inputs.
    mutate
        Makes a false input of a true one.
    run
        Runs an input and returns in a few words what became of it. Any exception is a fault.
    share
        How many inputs it gets where others get one.
    """

    name: str
    seeds: Callable[[], list[bytes]]
    mutate: Mutate
    run: Callable[[bytes], str]
    share: int = 1


@cache
def _room() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(
        prefix="lineshaft-fuzz-", dir=_MEMORY if _MEMORY.is_dir() else None
    )


def workspace() -> Path:
    """Return the folder that inputs are written into; it goes when the process ends."""
    return Path(_room().name)
