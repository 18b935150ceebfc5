"""Edits carried out on tables of parts and couplings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.advice.advice import (
    Alongside,
    Cut,
    Edit,
    Flip,
    Gearing,
    Joint,
    Put,
    Remove,
    SetActive,
    SetNumber,
    SetProperty,
    Spot,
)
from analyzer.advice.draft import Draft, check_bound, check_stored
from analyzer.advice.turned import turned_round
from analyzer.base.block import BlockState
from analyzer.base.errors import UsageError
from analyzer.base.ratio import tabulate
from analyzer.base.tables import Interner, frozen
from analyzer.catalogue.catalogue import ByProperty, Field, Port, Stored
from analyzer.couplings.couplings import Couplings, Kind
from analyzer.couplings.excerpt import excerpt_couplings, keep_couplings
from analyzer.couplings.find import find_couplings
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Coverage

#: Numbers that couplings do not depend on.
_LOOSE: Final = frozenset(
    {Field.RATED_RPM, Field.TORQUE, Field.ACTIVE, Field.LEAST_RPM, Field.SET_RPM, Field.SWITCH}
)


@dataclass(frozen=True, eq=False)
class Edited:
    """Parts and couplings after some edits."""

    parts: Parts
    couplings: Couplings


def spots_of(edit: Edit) -> tuple[Spot, ...]:
    """Return the positions that an edit touches."""
    if isinstance(edit, (Cut, Gearing)):
        joint = edit.joint
        return (Spot(joint.dimension, joint.first), Spot(joint.dimension, joint.second))
    return (edit.spot,)


def apply_edits(
    parts: Parts, couplings: Couplings, coverage: Coverage, edits: Sequence[Edit]
) -> Edited:
    """Carry out edits: on the parts in the order given, then on the couplings.

    Parameters
    ----------
    parts, couplings, coverage
        The mechanism as it is.
    edits
        What to change; none changes nothing.

    Returns
    -------
    Edited
        Couplings are sought again, unless the edits change no part that couplings depend on.

    Raises
    ------
    UsageError
        Where an edit cannot be carried out, with the reason.
    """
    draft = Draft(parts)
    anew = False
    gone: list[Spot] = []
    for edit in edits:
        match edit:
            case Remove():
                anew |= draft.type_of(draft.find(edit.spot)).link is not None
                draft.remove(edit.spot)
                gone.append(edit.spot)
            case Put():
                _check_numbers(draft, edit)
                draft.put(edit.spot, edit.state, dict(edit.numbers))
                anew = True
            case Flip():
                anew |= _turn(draft, edit.spot)
            case SetProperty():
                anew |= _set_property(draft, edit.spot, {edit.property: edit.value})
            case SetNumber():
                anew |= _set_number(draft, edit)
            case SetActive():
                anew |= _set_active(draft, edit)
            case Alongside():
                _put_alongside(draft, edit)
    changed = draft.made()
    if anew:
        found = find_couplings(changed, coverage)
    elif gone:
        keys = {(spot.dimension, *spot.at) for spot in gone}
        names = [parts.dimensions[number] for number in parts.dimension.tolist()]
        kept = [
            row
            for row, (name, xyz) in enumerate(zip(names, parts.xyz.tolist(), strict=True))
            if (name, *xyz) not in keys
        ]
        found = excerpt_couplings(couplings, len(parts), np.array(kept, np.int64))
    else:
        found = couplings
    joints = [edit for edit in edits if isinstance(edit, (Cut, Gearing))]
    return Edited(changed, _edit_joints(changed, found, joints))


def joint_of(parts: Parts, couplings: Couplings, number: int) -> Joint:
    """Return what names a coupling; numbers from ``len(couplings)`` on are governed ones."""
    table, row = couplings.governed, number - len(couplings)
    if row < 0:
        first, second = int(couplings.a[number]), int(couplings.b[number])
        kind, ports = couplings.kind[number], (couplings.port_a, couplings.port_b)
        row = number
    else:
        first, second = int(table.part[row]), int(table.other[row])
        kind, ports = table.kind[row], (table.port, table.other_port)
    return Joint(
        dimension=parts.dimensions[int(parts.dimension[first])],
        first=parts.block_at(first),
        second=parts.block_at(second),
        kind=Kind(int(kind)),
        first_port=Port(int(ports[0][row])),
        second_port=Port(int(ports[1][row])),
    )


def _check_numbers(draft: Draft, edit: Put) -> None:
    types = draft.types
    if edit.state.name in types:
        for field, value in edit.numbers:
            check_stored(types[edit.state.name], field)
            check_bound(types[edit.state.name], field, value)


def _turn(draft: Draft, spot: Spot) -> bool:
    entry = draft.find(spot)
    state = turned_round(draft.type_of(entry), entry.state)
    if state is None:
        raise UsageError(f"{entry.state} at {_place(spot)} cannot be turned round")
    draft.set_state(spot, state)
    return True


def _set_property(draft: Draft, spot: Spot, values: Mapping[str, str]) -> bool:
    """Set properties; tell whether couplings may depend on more than the switch."""
    entry = draft.find(spot)
    type_ = draft.type_of(entry)
    unknown = sorted(set(values) - set(entry.state.values) - _used_properties(draft, spot))
    if unknown:
        raise UsageError(
            f"{entry.state} at {_place(spot)} has no property {unknown[0]}; it has "
            f"{', '.join(name for name, _ in entry.state.properties) or 'none'}"
        )
    before, numbers = draft.resolved(entry), dict(entry.numbers)
    merged = {**entry.state.values, **values}
    draft.set_state(spot, BlockState(entry.state.name, tuple(sorted(merged.items()))))
    tight = {field for field in entry.numbers if field not in _LOOSE}
    return (
        draft.resolved(entry).pose != before.pose
        or any(entry.numbers[field] != numbers.get(field) for field in tight)
        or bool(type_.only)
    )


def _used_properties(draft: Draft, spot: Spot) -> set[str]:
    type_ = draft.type_of(draft.find(spot))
    return {number.property for _, number in type_.numbers if isinstance(number, ByProperty)}


def _set_number(draft: Draft, edit: SetNumber) -> bool:
    entry = draft.find(edit.spot)
    type_ = draft.type_of(entry)
    check_stored(type_, edit.field)
    check_bound(type_, edit.field, edit.value)
    entry.numbers[edit.field] = edit.value
    return edit.field not in _LOOSE


def _set_active(draft: Draft, edit: SetActive) -> bool:
    entry = draft.find(edit.spot)
    type_ = draft.type_of(entry)
    match type_.active:
        case Stored():
            entry.numbers[Field.ACTIVE] = Fraction(edit.active)
            return False
        case ByProperty(property=name, values=values):
            current = dict(values).get(entry.state.values.get(name, ""))
            if current is not None and bool(current) == edit.active:
                return False
            for value, number in values:
                if bool(number) == edit.active:
                    return _set_property(draft, edit.spot, {name: value})
    way = "does not drive at all" if type_.role != "mover" else "cannot be switched"
    raise UsageError(f"{type_.block} at {_place(edit.spot)} {way}")


def _put_alongside(draft: Draft, edit: Alongside) -> None:
    entry = draft.find(edit.spot)
    torque = entry.numbers.get(Field.TORQUE)
    if draft.type_of(entry).role != "mover" or torque is None or edit.count < 0:
        raise UsageError(f"no movers can be put alongside {entry.state} at {_place(edit.spot)}")
    # So many movers that turn as this one does give together what one of their torques' sum gives.
    entry.numbers[Field.TORQUE] = torque * (edit.count + 1)


def _edit_joints(parts: Parts, couplings: Couplings, edits: Sequence[Cut | Gearing]) -> Couplings:
    if not edits:
        return couplings
    by_joint: dict[Joint, list[int]] = {}
    wanted = {at for edit in edits for at in (edit.joint.first, edit.joint.second)}
    near = np.isin(_hashes(parts.xyz), _hashes(np.array(sorted(wanted), np.int32).reshape(-1, 3)))
    governed = couplings.governed
    rows = np.flatnonzero(near[couplings.a] & near[couplings.b]).tolist()
    rows += (len(couplings) + np.flatnonzero(near[governed.part] & near[governed.other])).tolist()
    for number in rows:
        by_joint.setdefault(joint_of(parts, couplings, number), []).append(number)
    ratios = Interner([couplings.ratios[row] for row in range(len(couplings.ratios))])
    kept = np.ones(len(couplings) + len(governed.part), bool)
    ratio = np.concatenate([couplings.ratio, governed.ratio])
    for edit in edits:
        numbers = by_joint.get(edit.joint)
        if not numbers:
            joint = edit.joint
            raise UsageError(
                f"{_place(Spot(joint.dimension, joint.first))} and "
                f"{_place(Spot(joint.dimension, joint.second))} are not coupled so"
            )
        if isinstance(edit, Cut):
            kept[numbers] = False
            continue
        factor = edit.factor if edit.behind == edit.joint.second else 1 / edit.factor
        for number in numbers:
            ratio[number] = ratios(ratios.items[int(ratio[number])] * factor)
    count = len(couplings)
    changed = replace(
        couplings,
        ratio=frozen(ratio[:count].astype(np.int32)),
        ratios=tabulate(ratios.items),
        governed=replace(governed, ratio=frozen(ratio[count:].astype(np.int32))),
    )
    return keep_couplings(changed, kept[:count], kept[count:])


def _hashes(xyz: npt.NDArray[np.int32]) -> npt.NDArray[np.int64]:
    x, y, z = xyz.astype(np.int64).T
    hashed: npt.NDArray[np.int64] = x * 73_856_093 ^ y * 19_349_663 ^ z * 83_492_791
    return hashed


def _place(spot: Spot) -> str:
    return f"{spot.at.x} {spot.at.y} {spot.at.z}"
