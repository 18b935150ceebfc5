"""How each type of part is drawn: by what it does in a drive, not by what its block looks like."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from analyzer.base.frame import axis_of
from analyzer.catalogue.catalogue import PartType, Role
from analyzer.report.clean import shown

Symbol: TypeAlias = Literal[
    "mover",
    "machine",
    "governor",
    "clutch",
    "reverser",
    "pulley",
    "near gear",
    "far gear",
    "bevel box",
    "shaft",
]

#: Every symbol, in the order in which legends show them.
SYMBOLS: Final[tuple[Symbol, ...]] = (
    "mover",
    "machine",
    "shaft",
    "near gear",
    "far gear",
    "bevel box",
    "pulley",
    "clutch",
    "reverser",
    "governor",
)


@dataclass(frozen=True)
class Look:
    """One type of part as drawings show it.

    Parameters
    ----------
    block
        Its block name, safe to show.
    role
        What it is in a drive.
    symbol
        What is drawn for it.
    """

    block: str
    role: Role
    symbol: Symbol


def look_of(kind: PartType) -> Look:
    """Return how a type of part is drawn; the first that holds of its role and what it can do."""
    return Look(block=shown(kind.block), role=kind.role, symbol=_symbol(kind))


def _symbol(kind: PartType) -> Symbol:
    if kind.role != "transmission":
        return kind.role
    if kind.governor is not None:
        return "governor"
    if kind.switch is not None:
        return kind.switch.kind
    if kind.link is not None:
        return "pulley"
    if kind.rim is not None:
        return "near gear" if kind.rim.kind == "near" else "far gear"
    axes = {axis_of(end.side) for end in kind.ends}
    return "bevel box" if len(axes) > 1 else "shaft"
