"""Saves for tests."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from analyzer.demo.content import Content, Placement
from analyzer.demo.manner import Manner
from analyzer.demo.write import write_save

OVERWORLD = "minecraft:overworld"


def save_of(
    folder: Path,
    placements: Iterable[Placement],
    *,
    dimension: str = OVERWORLD,
    manner: Manner = Manner(),  # noqa: B008 (frozen)
) -> Path:
    """Write a save that holds some blocks in one dimension, and return its folder.

    The folder is ``save`` inside the one given.
    """
    save = folder / "save"
    write_save(save, {dimension: Content(tuple(placements))}, manner=manner)
    return save
