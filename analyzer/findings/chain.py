"""A chain of coupled parts by row: what searches find and witnesses are made from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Chain:
    """Parts by row, each coupled to the next.

    Parameters
    ----------
    kind
        ``loop``: the last part is coupled to the first. ``path``: from one end to the other.
    parts
        Rows of the parts, in order.
    couplings
        The coupling from each part to the next: a loop has as many as parts, a path one fewer.
    shortest
        False where a shorter chain was not ruled out.
    """

    kind: Literal["loop", "path"]
    parts: tuple[int, ...]
    couplings: tuple[int, ...]
    shortest: bool = True
