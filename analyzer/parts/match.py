"""Matching a candidate's block and block entity with the catalogues."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.block import BlockState
from analyzer.catalogue.catalogue import Catalogues
from analyzer.catalogue.resolve import NotUnderstood, Resolved, resolve_state
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
        entities = self._types[number].entities
        leftover = entity is not None and entity not in entities
        if (leftover and entities) or (entity is None and entities):
            found = "no block entity" if entity is None else f"block entity {entity}"
            detail = f"{found} where the type has {', '.join(entities)}"
            return Match(reason="stale", detail=detail)
        resolved = resolve_state(self._types[number], state)
        if isinstance(resolved, NotUnderstood):
            return Match(reason="not-understood", detail=resolved.detail)
        if leftover:
            detail = f"block entity {entity} where the type has none"
            return Match(number, resolved, reason="stale", detail=detail)
        return Match(number, resolved)
