"""Applying a type to a block state: its pose and its numbers, as far as the properties say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias, TypeVar

from analyzer.base.block import BlockState
from analyzer.base.frame import AXES, FACES, pose_facing
from analyzer.catalogue.catalogue import (
    ByProperty,
    Constant,
    Field,
    Number,
    PartType,
    PoseByAxis,
    PoseByCases,
    PoseByFacing,
    PoseFixed,
    PoseRule,
    Stored,
)

_Item = TypeVar("_Item")

#: A number as far as a block state tells it: exactly, or where the block entity stores it.
Settled: TypeAlias = Fraction | Stored

_POSE_OF_AXIS: Final = {axis: pose_facing(2 * number) for number, axis in enumerate(AXES)}
_POSE_OF_FACING: Final = {face: pose_facing(number) for number, face in enumerate(FACES)}


@dataclass(frozen=True)
class Resolved:
    """What a block state makes of a type.

    Parameters
    ----------
    pose
        Index into `analyzer.base.frame.POSES`.
    numbers
        Each number of the type by field; a rated speed is signed about the front.
    """

    pose: int
    numbers: tuple[tuple[Field, Settled], ...]


@dataclass(frozen=True)
class NotUnderstood:
    """A block state that its type does not cover.

    Parameters
    ----------
    property
        The block property that is absent or has an unknown value.
    detail
        What is the matter with it, as a clause.
    """

    property: str
    detail: str


@dataclass(frozen=True)
class NotAPart:
    """A block state that its type leaves out, such as the other half of a part of two blocks.

    Parameters
    ----------
    property
        The block property that has another value than the type asks for.
    detail
        Which value leaves it out, as a clause.
    """

    property: str
    detail: str


def resolve_state(
    type: PartType,  # noqa: A002
    state: BlockState,
) -> Resolved | NotUnderstood | NotAPart:
    """Apply a type to a block state.

    Parameters
    ----------
    type
        The type of the state's block.
    state
        The block state.

    Returns
    -------
    Resolved, NotUnderstood or NotAPart
        Not understood where a property that the type needs is absent or has an unknown value;
        nothing is defaulted. No part where a property has a value that the type leaves out,
        whatever the others are.
    """
    left = _left_out(type, state)
    if left is not None:
        return left
    pose = _pose(type.pose, state)
    if isinstance(pose, NotUnderstood):
        return pose
    numbers: list[tuple[Field, Settled]] = []
    for field, number in type.numbers:
        settled = _settle(number, state)
        if isinstance(settled, NotUnderstood):
            return settled
        numbers.append((field, settled))
    return Resolved(pose, tuple(numbers))


def _left_out(type_: PartType, state: BlockState) -> NotUnderstood | NotAPart | None:
    absent = None
    for name, values in type_.only:
        value = state.values.get(name)
        if value is None:
            absent = absent or _absent(name)
        elif value not in values:
            detail = f"property {name} has the value {value}, none of {', '.join(values)}"
            return NotAPart(name, detail)
    return absent


def _pose(rule: PoseRule, state: BlockState) -> int | NotUnderstood:
    match rule:
        case PoseFixed():
            return rule.pose
        case PoseByAxis():
            return _look_up(rule.property, _POSE_OF_AXIS, state)
        case PoseByFacing():
            return _look_up(rule.property, _POSE_OF_FACING, state)
        case PoseByCases():
            return _pose_by_cases(rule, state)


def _pose_by_cases(rule: PoseByCases, state: BlockState) -> int | NotUnderstood:
    for wanted, pose in rule.cases:
        if all(state.values.get(name) == value for name, value in wanted):
            return pose
    names = sorted({name for wanted, _ in rule.cases for name, _ in wanted})
    for name in names:
        if name not in state.values:
            return _absent(name)
    said = ", ".join(f"{name}={state.values[name]}" for name in names)
    return NotUnderstood(names[0], f"no case holds for {said}")


def _settle(number: Number, state: BlockState) -> Settled | NotUnderstood:
    match number:
        case Constant():
            return number.value
        case Stored():
            return number
        case ByProperty():
            return _look_up(number.property, dict(number.values), state)


def _look_up(name: str, known: Mapping[str, _Item], state: BlockState) -> _Item | NotUnderstood:
    value = state.values.get(name)
    if value is None:
        return _absent(name)
    if value not in known:
        expected = ", ".join(sorted(known))
        return NotUnderstood(name, f"property {name} has the value {value}, none of {expected}")
    return known[value]


def _absent(name: str) -> NotUnderstood:
    return NotUnderstood(name, f"property {name} is absent")
