"""One block of a build, before anybody says what it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

Place = tuple[str, tuple[int, int, int]]


@dataclass(frozen=True)
class Placement:
    """A block of a build: dimension, position, block name, properties, block entity's data.

    The data's key ``id`` is the block entity's id; None stands for a block without one.
    """

    dimension: str
    at: tuple[int, int, int]
    block: str
    properties: dict[str, str]
    data: dict[str, Any] | None = None

    @property
    def place(self) -> Place:
        return (self.dimension, self.at)
