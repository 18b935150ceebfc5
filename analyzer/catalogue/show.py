"""What a catalogue makes of one block state, in world directions: left and right made visible."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analyzer.base.block import BlockState
from analyzer.base.errors import UsageError
from analyzer.base.frame import FACES_OF_POSE, SIDES, axis_of, sign_of, to_world
from analyzer.base.placements import Offset
from analyzer.catalogue.catalogue import (
    Catalogues,
    Field,
    PartType,
    Port,
    Source,
)
from analyzer.catalogue.notes import hint, near, quoted
from analyzer.catalogue.places import ShownMeeting, ShownMesh, meetings_of, meshes_of
from analyzer.catalogue.resolve import (
    NotAPart,
    NotUnderstood,
    Resolved,
    Settled,
    resolve_state,
)


@dataclass(frozen=True)
class ShownEnd:
    """An end in its pose: own side, world face that side looks at, factor, and the cell it is on.

    The cell is given from the part's block, along the world axes.
    """

    side: int
    face: int
    factor: Settled
    cell: Offset


@dataclass(frozen=True)
class ShownPort:
    """A port that a switch or a governor acts on; `face` is the world face of an end's side."""

    port: Port
    face: int | None


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
    rim_cell
        Cell of its rim, from the part's block along the world axes; None without a rim.
    meshes
        Every place where a rim may mesh with its own, by placement and offset; empty without one.
    meetings
        Its own offsets, in the order of the catalogue, for each axis of the other that couples.
    switched
        The ports that its switch opens or flips; empty without one.
    governed
        The port that it governs; None without one.
    numbers
        Each number by field; rated and set speeds are signed about the front.

    Notes
    -----
    Link, switch, governor and recorded speed are those of `type`; what they need of the block's
    state is in `numbers`.
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
    rim_cell: Offset | None
    meshes: tuple[ShownMesh, ...]
    meetings: tuple[ShownMeeting, ...]
    switched: tuple[ShownPort, ...]
    governed: ShownPort | None
    numbers: tuple[tuple[Field, Settled], ...]

    def number(self, field: Field) -> Settled | None:
        """Return one number, or None where the type has none of that field."""
        return dict(self.numbers).get(field)


def show_block(state: BlockState, catalogues: Catalogues) -> Shown | NotUnderstood | NotAPart:
    """Resolve a block state and turn what its type says into world directions.

    Parameters
    ----------
    state
        The block state, with the properties that its type needs.
    catalogues
        Where to look for the type.

    Returns
    -------
    Shown, NotUnderstood or NotAPart
        Not understood where a property that the type needs is absent or has an unknown value; no
        part where the type leaves the state out.

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
    if not isinstance(resolved, Resolved):
        return resolved
    return _shown(state, found, catalogues.sources[found.source], resolved)


def _shown(state: BlockState, found: PartType, source: Source, resolved: Resolved) -> Shown:
    faces = FACES_OF_POSE[resolved.pose]
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
            ShownEnd(
                end.side,
                face=faces[end.side],
                factor=numbers[Field(end.side)],
                cell=to_world(resolved.pose, end.cell),
            )
            for end in found.ends
        ),
        axis=axis_of(front),
        rim_cell=None if found.rim is None else to_world(resolved.pose, found.rim.cell),
        meshes=() if found.rim is None else meshes_of(found.rim, resolved.pose),
        meetings=meetings_of(found, resolved.pose),
        switched=tuple(
            _port(port, faces) for port in (found.switch.ports if found.switch is not None else ())
        ),
        governed=None if found.governor is None else _port(found.governor.port, faces),
        numbers=resolved.numbers,
    )


def _port(port: int, faces: Sequence[int]) -> ShownPort:
    return ShownPort(Port(port), faces[port] if port < len(faces) else None)
