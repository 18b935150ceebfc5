"""Matching a candidate's block and block entity with the catalogues."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.block import BlockState
from analyzer.catalogue.catalogue import Catalogues, PartType
from analyzer.catalogue.resolve import NotAPart, NotUnderstood, Resolved, resolve_state
from analyzer.parts.parts import RejectReason


@dataclass(frozen=True)
class Match:
    """What a block state together with a block entity is.

    Parameters
    ----------
    type
        Index into the catalogues' types; -1 where it is no part.
    resolved
        The type applied to the block state; None where it is no part.
    reason, detail
        Why it, or its block entity, is left over; the reason is None where nothing is.
    """

    type: int = -1
    resolved: Resolved | None = None
    reason: RejectReason | None = None
    detail: str = ""


class Matcher:
    """Matches block states and block entities with the types of some catalogues."""

    def __init__(self, catalogues: Catalogues) -> None:
        self._types = catalogues.types
        self._numbers = {type_.block: number for number, type_ in enumerate(catalogues.types)}

    def match(self, state: BlockState, entity: str | None) -> Match:
        """Match one block state with the id of its block entity, None for a block without one.

        A block of a type without a block entity is a part even where a block entity was left
        behind at its place: the game goes by the block.
        """
        number = self._numbers.get(state.name)
        if number is None:
            return Match(reason="stale", detail=f"block entity {entity} at a block of no type")
        type_ = self._types[number]
        resolved = resolve_state(type_, state)
        leftover = _leftover(type_, entity)
        if isinstance(resolved, NotAPart):
            # Such as the other half of a part of two blocks: with or without a block entity.
            return Match(reason="stale", detail=leftover) if entity and leftover else Match()
        if leftover and type_.entities:
            return Match(reason="stale", detail=leftover)
        if isinstance(resolved, NotUnderstood):
            return Match(reason="not-understood", detail=resolved.detail)
        return Match(number, resolved, reason="stale" if leftover else None, detail=leftover)


def _leftover(type_: PartType, entity: str | None) -> str:
    """Say what is wrong about a block entity, or the lack of one; nothing where nothing is."""
    if entity in type_.entities or (entity is None and not type_.entities):
        return ""
    found = "no block entity" if entity is None else f"block entity {entity}"
    return f"{found} where the type has {', '.join(type_.entities) or 'none'}"
