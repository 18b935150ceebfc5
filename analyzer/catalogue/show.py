"""What a catalogue makes of one block state, in world directions: left and right made visible."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.block import BlockState
from analyzer.base.errors import UsageError
from analyzer.base.frame import POSE_FACES, SIDES, axis_of, sign_of
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.catalogue.catalogue import (
    Catalogues,
    Field,
    PartType,
    Placement,
    Rim,
    RimKind,
    Source,
)
from analyzer.catalogue.notes import hint, near, quoted
from analyzer.catalogue.resolve import NotUnderstood, Resolved, Settled, resolve_state


@dataclass(frozen=True)
class ShownEnd:
    """An end in its pose: its own side, the world face that side looks at, and its factor."""

    side: int
    face: int
    factor: Settled


@dataclass(frozen=True)
class ShownMesh:
    """A place where another rim may stand to mesh.

    Parameters
    ----------
    placement
        The placement both rims have to list.
    partner
        The kind of rim that may stand there.
    offset
        From this part to the other, in blocks along the world axes.
    axis
        World axis of the other rim.
    sign
        +1 where both turn the same way about their positive world axes, else -1.
    """

    placement: Placement
    partner: RimKind
    offset: Offset
    axis: int
    sign: int


@dataclass(frozen=True)
class Shown:
    """A block state as its type resolves it.

    Parameters
    ----------
    state
        The block state.
    type, source
        Its type, and the catalogue that the type is from.
    pose
        Index into `analyzer.base.frame.POSES`.
    front, top, right
        World faces of the part's own frame.
    sign
        +1 where the front looks along its positive world axis, so that own and world speeds are
        the same, else -1.
    ends
        Its ends by own side.
    axis
        World axis of the front, about which the part and its rim turn.
    meshes
        Every place where a rim may mesh with its own, by placement and offset; empty without one.
    numbers
        Each number by field; a rated speed is signed about the front.
    """

    state: BlockState
    type: PartType
    source: Source
    pose: int
    front: int
    top: int
    right: int
    sign: int
    ends: tuple[ShownEnd, ...]
    axis: int
    meshes: tuple[ShownMesh, ...]
    numbers: tuple[tuple[Field, Settled], ...]

    def number(self, field: Field) -> Settled | None:
        """Return one number, or None where the type has none of that field."""
        return dict(self.numbers).get(field)


def show_block(state: BlockState, catalogues: Catalogues) -> Shown | NotUnderstood:
    """Resolve a block state and turn what its type says into world directions.

    Parameters
    ----------
    state
        The block state, with the properties that its type needs.
    catalogues
        Where to look for the type.

    Returns
    -------
    Shown or NotUnderstood
        The latter where a property that the type needs is absent or has an unknown value.

    Raises
    ------
    UsageError
        Where no catalogue has an entry for the block.
    """
    types = {type_.block: type_ for type_ in catalogues.types}
    found = types.get(state.name)
    if found is None:
        meant = hint(near(state.name, types))
        raise UsageError(f"no catalogue has an entry for the block {quoted(state.name)}{meant}")
    resolved = resolve_state(found, state)
    if isinstance(resolved, NotUnderstood):
        return resolved
    return _shown(state, found, catalogues.sources[found.source], resolved)


def _shown(state: BlockState, found: PartType, source: Source, resolved: Resolved) -> Shown:
    faces = POSE_FACES[resolved.pose].tolist()
    front, top, right = (faces[SIDES.index(side)] for side in ("front", "top", "right"))
    numbers = dict(resolved.numbers)
    return Shown(
        state=state,
        type=found,
        source=source,
        pose=resolved.pose,
        front=front,
        top=top,
        right=right,
        sign=sign_of(front),
        ends=tuple(
            ShownEnd(end.side, face=faces[end.side], factor=numbers[Field(end.side)])
            for end in found.ends
        ),
        axis=axis_of(front),
        meshes=() if found.rim is None else _meshes(found.rim, axis_of(front)),
        numbers=resolved.numbers,
    )


def _meshes(rim: Rim, axis: int) -> tuple[ShownMesh, ...]:
    other: RimKind = "near" if rim.kind == "far" else "far"
    every = [
        *(ShownMesh("beside", "near", offset, axis, -1) for offset in beside_offsets(axis)),
        *(ShownMesh("diagonal", other, offset, axis, -1) for offset in diagonal_offsets(axis)),
        *(ShownMesh("crossed", "far", *crossed) for crossed in crossed_offsets(axis)),
    ]
    return tuple(mesh for mesh in every if mesh.placement in rim.placements)
