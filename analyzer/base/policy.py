"""What the user decides about judging: limits, rules, labels and levels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

#: What happens where active movers of one sense ask a zone for different speeds.
UnequalMovers = Literal["fastest", "conflict"]


class Level(IntEnum):
    """How grave a finding is; levels compare by gravity."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    def __str__(self) -> str:
        """Write the level as it stands in output."""
        return self.name.lower()


@dataclass(frozen=True)
class Policy:
    """The user's decisions, which enter the solution and the findings.

    Parameters
    ----------
    speed_limit_rpm
        Limit for every part in place of what the catalogues say; None leaves it to them.
    unequal_movers
        Rule in place of what the catalogues say; None leaves it to them.
    thin_headroom, heavy_parts, heavy_chunks, heavy_switches
        Thresholds of warnings in place of what the catalogues say; None leaves them to them.
    levels
        Level by rule name in place of the default.
    off
        Names of rules that are not judged.
    assume_active
        Judge as if every mover that is switched off were active.
    hints
        Judge also what is nearly coupled.
    worst_places
        Most places that one finding names.
    """

    speed_limit_rpm: Fraction | None = None
    unequal_movers: UnequalMovers | None = None
    thin_headroom: Fraction | None = None
    heavy_parts: int | None = None
    heavy_chunks: int | None = None
    heavy_switches: int | None = None
    levels: Mapping[str, Level] = field(default_factory=lambda: MappingProxyType({}))
    off: frozenset[str] = frozenset()
    assume_active: bool = False
    hints: bool = False
    worst_places: int = 5
