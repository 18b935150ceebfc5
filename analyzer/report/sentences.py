"""The sentences about findings: what is wrong, by how much, and what to do next."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from fractions import Fraction
from typing import Final, TypeAlias

from analyzer.base.exact import decimal_text, exact_text
from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.clean import shown
from analyzer.report.quantities import amount, counted, listed
from analyzer.solution.solution import State

#: Most names that one sentence lists.
_MOST_NAMES: Final = 8

_Sentence: TypeAlias = Callable[[Audit, Finding], str]


def message(audit: Audit, finding: Finding) -> str:
    """Return what is wrong, with what was measured, the limit and the unit."""
    return _MESSAGES[finding.rule](audit, finding)


def next_step(audit: Audit, finding: Finding) -> str:
    """Return what to do next; where a command does it, the sentence leads up to that."""
    return _NEXT[finding.rule](audit, finding)


def next_command(finding: Finding, *, save: str) -> str | None:
    """Return the command that does the next step, or None where none does.

    Parameters
    ----------
    finding
        The finding.
    save
        How the save is called on a command line.
    """
    if finding.rule == "nothing-known":
        return draft_command(save, finding.names[0][0])
    return draft_command(save) if finding.rule == "no-catalogue" else None


def place(block: Block) -> str:
    """Write a position as the game's commands take it."""
    return f"{block.x} {block.y} {block.z}"


def draft_command(save: str, namespace: str | None = None) -> str:
    """Return the command that drafts a catalogue, for what stands in one namespace or for all."""
    if namespace is None:
        return f"lineshaft survey {save} --draft catalogue.toml"
    file = "".join(char if char.isalnum() or char in "_-" else "_" for char in namespace)
    only = shlex.quote(shown(namespace))
    return f"lineshaft survey {save} --draft {file}.toml --namespace {only}"


# --- loop-conflict


def _loop_conflict(_: Audit, finding: Finding) -> str:
    witness = finding.witness
    assert witness is not None, "a loop conflict has a witness"
    length = len(witness.parts)
    if length == 2:
        ring = "Two parts are coupled twice in ways that contradict each other"
    else:
        ring = f"{length:,} parts stand in a loop that contradicts itself"
    if witness.product == -1:
        clash = "it would have to turn both ways at once"
    elif witness.product < 0:
        clash = f"once round, a turn comes back reversed and {_times(-witness.product)}"
    else:
        clash = f"once round, a turn comes back {_times(witness.product)}"
    knot = finding.count - length
    more = f" (further loops bind {counted(knot, 'more part')} to it)" if knot > 0 else ""
    best = "" if witness.shortest else " A shorter loop was not ruled out."
    return f"{ring}: {clash}{more}. Nothing in the network turns.{best}"


def _times(ratio: Fraction) -> str:
    text = exact_text(ratio) if ratio.denominator.bit_length() < 99 else amount(ratio, "")
    return f"{text.strip()} times as fast"


def _open_the_loop(_: Audit, finding: Finding) -> str:
    return (
        "Open the loop: take out one of its parts, or move one so that it clears one of its "
        "neighbours."
    )


# --- mover-conflict


def _mover_conflict(_: Audit, finding: Finding) -> str:
    made, asked = _measured(finding)
    witness = finding.witness
    assert witness is not None, "a mover conflict has a witness"
    push = "push opposite ways" if made * asked < 0 else "ask for different speeds"
    others = finding.count - 2
    more = f" ({counted(others, 'more mover')} in the network)" if others > 0 else ""
    return (
        f"Two movers {push}{more}: the one at {place(witness.parts[0])} would turn the one at "
        f"{place(witness.parts[-1])} at {amount(made, 'rpm')}, which itself asks for "
        f"{amount(asked, 'rpm')}. Nothing in the network turns."
    )


def _part_the_movers(_: Audit, finding: Finding) -> str:
    made, asked = _measured(finding)
    if made * asked < 0:
        return "Turn one of the two round, or put a reversing mesh on the way between them."
    return "Give both one speed, by their own setting or by gears on the way between them."


# --- out-of-range


def _out_of_range(_: Audit, finding: Finding) -> str:
    return (
        f"From its slowest part to its fastest the speed doubles {amount(finding.measured, '')}"
        f"times; no more than {amount(finding.limit, '')}doublings can be written."
    )


def _break_the_chain(_: Audit, finding: Finding) -> str:
    return "Break the chain of gears between the two places."


# --- overload and over-speed


def _overload(_: Audit, finding: Finding) -> str:
    return (
        f"The machines ask for {amount(finding.measured, finding.unit)}; the movers give "
        f"{amount(finding.limit, finding.unit)}. The whole network stands still."
    )


def _balance_power(_: Audit, finding: Finding) -> str:
    if finding.certain != "yes":
        return "Have the places it is cut at read (see Not read): what lies there may drive it too."
    demand, capacity = _measured(finding)
    missing = amount(demand - capacity, finding.unit)
    return f"Add movers for {missing}, or take out or slow down machines that ask for as much."


def _over_speed(audit: Audit, finding: Finding) -> str:
    assert finding.network is not None, "over-speed is in a network"
    stands = audit.solution.state[finding.network] == State.OVERLOADED
    speed, limit = (amount(value, finding.unit) for value in _measured(finding))
    once = " once the network turns" if stands else ""
    if finding.count == 1:
        turns = "would turn" if stands else "turns"
        return f"A part {turns} at {speed}{once}, where {limit} is allowed."
    turn = "would turn" if stands else "turn"
    return (
        f"{finding.count:,} parts {turn} faster than they may{once}; the fastest at {speed}, where "
        f"{limit} is allowed."
    )


def _slow_down(_: Audit, finding: Finding) -> str:
    speed, limit = _measured(finding)
    factor = decimal_text(speed / limit)
    return f"Gear the way to it down {factor} times or more, or slow the mover."


# --- what was not read or not known


def _unread_chunks(audit: Audit, finding: Finding) -> str:
    faults = audit.scan.coverage.faults
    here = [fault for fault in faults if fault.dimension == finding.dimension]
    files = sum(fault.chunk is None for fault in here)
    kinds = ((len(here) - files, "chunk"), (files, "file"))
    what = " and ".join(counted(count, noun) for count, noun in kinds if count)
    return (
        f"{what} could not be read ({listed(dict(finding.names), most=_MOST_NAMES)}): what stands "
        "there was not judged."
    )


def _restore(_: Audit, finding: Finding) -> str:
    return "See Not read for each. Restore them from a backup, or accept it with --allow-unread."


def _nothing_known(_: Audit, finding: Finding) -> str:
    names = {shown(name): count for name, count in finding.names}
    entities = counted(finding.count, "block entity", "block entities")
    return (
        "Nothing here is known: no part was found, but "
        f"{entities} of other namespaces: {listed(names, most=_MOST_NAMES)}."
    )


def _draft(_: Audit, finding: Finding) -> str:
    return "Draft a catalogue for them and fill it in:"


def _no_catalogue(_: Audit, finding: Finding) -> str:
    return "No catalogue was given, so no block is known as a part and nothing can be judged."


def _give_a_catalogue(_: Audit, finding: Finding) -> str:
    return "Name one with --catalogue, or draft one:"


def _measured(finding: Finding) -> tuple[Fraction, Fraction]:
    """Return what was measured and the limit, of a finding that has both."""
    assert finding.measured is not None, f"{finding.rule} measures something"
    assert finding.limit is not None, f"{finding.rule} has a limit"
    return finding.measured, finding.limit


_MESSAGES: Final[dict[str, _Sentence]] = {
    "loop-conflict": _loop_conflict,
    "mover-conflict": _mover_conflict,
    "no-catalogue": _no_catalogue,
    "nothing-known": _nothing_known,
    "out-of-range": _out_of_range,
    "over-speed": _over_speed,
    "overload": _overload,
    "unread-chunks": _unread_chunks,
}
_NEXT: Final[dict[str, _Sentence]] = {
    "loop-conflict": _open_the_loop,
    "mover-conflict": _part_the_movers,
    "no-catalogue": _give_a_catalogue,
    "nothing-known": _draft,
    "out-of-range": _break_the_chain,
    "over-speed": _slow_down,
    "overload": _balance_power,
    "unread-chunks": _restore,
}
