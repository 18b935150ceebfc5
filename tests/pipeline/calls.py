"""Calls that other processes run in tests."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def double(number: int) -> int:
    print("this is not an answer")
    return 2 * number


def fail(number: int) -> int:
    raise ValueError(f"not {number}")


def die(number: int) -> int:
    os._exit(number)


def die_once(mark: str) -> int:
    if Path(mark).exists():
        return 7
    Path(mark).touch()
    os._exit(1)


def grow(number: int) -> int:
    raise MemoryError


def interpreter_of(number: int) -> tuple[int, bool, list[str]]:
    loaded = [name for name in ("numpy", "scipy", "click", "networkx") if name in sys.modules]
    return os.getpid(), sys.modules["__main__"].__spec__ is None, loaded


class Trap:
    """Something that no other process can be sent without dying of it."""

    def __reduce__(self) -> tuple[object, tuple[int]]:
        return os._exit, (1,)


class Deadly:
    """A path that can be sent anywhere, and ends the process that looks where it leads."""

    def resolve(self) -> Path:
        os._exit(1)
