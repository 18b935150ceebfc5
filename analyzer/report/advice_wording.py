"""Sentences about advice: what each edit does, what a remedy gives up, how good it is."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from analyzer.advice.advice import (
    Alongside,
    Cut,
    Edit,
    Flip,
    Gearing,
    Outline,
    Proof,
    Put,
    Remedy,
    Remove,
    SetActive,
    SetNumber,
    SetProperty,
    Spot,
)
from analyzer.base.exact import decimal_text
from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.report.clean import shown
from analyzer.report.lookup import block_name_at
from analyzer.report.quantities import amount, counted, place
from analyzer.solution.solution import Conflict, State

#: Most machines that a sentence names.
MOST_NAMED: Final = 4

_HOW: Final = {
    "count": "by count",
    "enumeration": "all were looked at",
    "program": "by an integer program",
    "loops": "as many loops share nothing",
}


def edit_text(before: Audit, edit: Edit) -> str:
    """Say what one edit does, as an instruction.

    Parameters
    ----------
    before
        The audit of what is edited, as it is.
    edit
        The edit.
    """
    if isinstance(edit, Cut):
        joint = edit.joint
        ends = _between(before, joint.dimension, (joint.first, joint.second))
        return f"undo the {joint.kind} coupling between {ends}"
    if isinstance(edit, Gearing):
        return _gearing_text(before, edit)
    if isinstance(edit, Put):
        return _put_text(before, edit)
    part = _named(before, edit.spot)
    match edit:
        case Remove():
            text = f"take away {part}"
        case SetProperty():
            text = f"set {shown(edit.property)} of {part} to {shown(edit.value)}"
        case Flip():
            text = f"turn round {part}"
        case SetNumber():
            text = f"set {edit.field.name.lower()} of {part} to {decimal_text(edit.value)}"
        case SetActive():
            text = f"let {part} drive" if edit.active else f"stop {part}"
        case Alongside():
            more = f"{edit.count:,} more {_name_at(before, edit.spot) or 'movers'}"
            text = f"put {more} on the shaft of the one at {place(edit.spot.at)}"
    return text


def _put_text(before: Audit, edit: Put) -> str:
    numbers = ", ".join(
        f"{field.name.lower()} {decimal_text(value)}" for field, value in edit.numbers
    )
    what = f"{shown(str(edit.state))}{f' with {numbers}' if numbers else ''}"
    stood = _name_at(before, edit.spot)
    instead = "" if stood is None else f"in place of {stood} "
    return f"put {what} {instead}at {place(edit.spot.at)}"


def _gearing_text(before: Audit, edit: Gearing) -> str:
    joint = edit.joint
    ahead = joint.first if edit.behind == joint.second else joint.second
    ends = _between(before, joint.dimension, (ahead, edit.behind))
    if edit.gears is None:
        return f"put one reversing gear between {ends}"
    first, second = map(shown, edit.gears)
    change = decimal_text(abs(edit.factor))
    return (
        f"put a pair of gears between {ends}: {first} before, {second} behind; what lies behind "
        f"turns {change} times as fast, the other way round"
    )


def lost_text(remedy: Remedy) -> str:
    """Say what a remedy gives up."""
    lost = remedy.lost
    told = []
    if lost.stopped:
        named = ", ".join(map(place, lost.stopped[:MOST_NAMED]))
        left = len(lost.stopped) - MOST_NAMED
        more = f", and {left:,} more" if left > 0 else ""
        told.append(f"{counted(len(lost.stopped), 'machine')} without a drive: {named}{more}")
    if lost.slowed:
        named = ", ".join(
            f"{place(at)} from {amount(old, 'rpm')} to {amount(new, 'rpm')}"
            for at, old, new in lost.slowed[:MOST_NAMED]
        )
        left = len(lost.slowed) - MOST_NAMED
        more = f", and {left:,} more" if left > 0 else ""
        told.append(f"{counted(len(lost.slowed), 'machine')} slower: {named}{more}")
    return "; ".join(told) or "nothing"


def proof_text(proof: Proof) -> str:
    """Say how it is known that nothing of the kind is cheaper."""
    if proof.least and proof.by == "none":
        return "no fewer do; whether others give up less was not settled"
    if proof.least:
        return f"nothing less of this kind does ({_HOW[proof.by]})"
    found, bound = decimal_text(proof.found), decimal_text(proof.bound)
    return f"{found} found, and nothing below {bound} does: less may do"


def outline_text(outline: Outline, unit: str) -> str:
    """Say in one line what a network does."""
    state = str(outline.state)
    if outline.conflict != Conflict.NONE:
        state = f"{state} ({outline.conflict})"
    elif outline.state == State.TURNING and outline.headroom_power == 0 and outline.capacity_power:
        state = f"{state} (full)"
    given = f"{amount(outline.capacity_power, unit)} given"
    asked = _asked(outline.demand_power, unit)
    told = [state, counted(outline.parts, "part"), given, asked]
    if outline.cut:
        told.insert(1, "cut")
    return ", ".join(told)


def _asked(power: Fraction | None, unit: str) -> str:
    return "demand unknown" if power is None else f"{amount(power, unit)} asked for"


def _between(before: Audit, dimension: str, ends: tuple[Block, Block]) -> str:
    first, second = (_named(before, Spot(dimension, end)) for end in ends)
    return f"{first} and {second}"


def _named(before: Audit, spot: Spot) -> str:
    return f"{_name_at(before, spot) or 'the part'} at {place(spot.at)}"


def _name_at(before: Audit, spot: Spot) -> str | None:
    name = block_name_at(before.parts, spot.dimension, spot.at)
    return None if name is None else shown(name)
