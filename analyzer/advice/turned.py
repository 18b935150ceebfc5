"""Block states for a pose: a part turned round, a type put in a given pose."""

from __future__ import annotations

from analyzer.base.block import BlockState
from analyzer.base.frame import AXES, FACES, POSES, pose_facing, pose_of
from analyzer.catalogue.catalogue import (
    PartType,
    PoseByAxis,
    PoseByCases,
    PoseByFacing,
    PoseFixed,
)
from analyzer.catalogue.resolve import Resolved, resolve_state


def turned_round(type_: PartType, state: BlockState) -> BlockState | None:
    """Return the state of a part whose front looks the opposite way, all else kept.

    Returns
    -------
    state or None
        None where the type has no such pose: an axis alone has no reverse. Of several cases the
        first whose top stays as it is, else the first.
    """
    found = resolve_state(type_, state)
    if not isinstance(found, Resolved):
        return None
    front, top = POSES[found.pose]
    match type_.pose:
        case PoseByFacing(property=name):
            wanted = [{name: FACES[front ^ 1]}]
        case PoseByCases(cases=cases):
            back = [(when, pose) for when, pose in cases if POSES[pose][0] == front ^ 1]
            back.sort(key=lambda case: case[1] != pose_of(front ^ 1, top))
            wanted = [dict(when) for when, _ in back]
        case _:
            wanted = []
    for values in wanted:
        turned = BlockState(state.name, tuple(sorted({**state.values, **values}.items())))
        resolved = resolve_state(type_, turned)
        if isinstance(resolved, Resolved) and POSES[resolved.pose][0] == front ^ 1:
            return turned
    return None


def states_of(type_: PartType) -> tuple[tuple[int, BlockState], ...]:
    """Return every pose of a type with a block state that gives it, by pose.

    Only the properties of the pose are given: for a type that needs others there is none.
    """
    found: dict[int, dict[str, str]]
    match type_.pose:
        case PoseFixed(pose=pose):
            found = {pose: {}}
        case PoseByAxis(property=name):
            found = {pose_facing(2 * axis): {name: AXES[axis]} for axis in range(3)}
        case PoseByFacing(property=name):
            found = {pose_facing(face): {name: FACES[face]} for face in range(6)}
        case PoseByCases(cases=cases):
            found = {}
            for when, pose in cases:
                found.setdefault(pose, dict(when))
    states = []
    for pose, values in sorted(found.items()):
        state = BlockState(type_.block, tuple(sorted(values.items())))
        resolved = resolve_state(type_, state)
        if isinstance(resolved, Resolved) and resolved.pose == pose:
            states.append((pose, state))
    return tuple(states)
