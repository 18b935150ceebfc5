"""Spare power for people: what to do with it, network by network."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from analyzer.advice.advice import Edit
from analyzer.advice.spare.networks import SparePower
from analyzer.advice.spare.spare import Spare, Spending, Turn, Unspent
from analyzer.base.exact import decimal_text
from analyzer.findings.audit import Audit
from analyzer.report.advice_wording import edit_text, outline_text
from analyzer.report.clean import shown
from analyzer.report.layout import heading, labelled, paragraph
from analyzer.report.quantities import amount, counted, place

#: Most edits, machines and further choices that are listed for one network.
MOST_EDITS: Final = 12
MOST_TURNS: Final = 4
_LABEL: Final = 10

_WHY_NOT: Final = {
    "conflicting": "It conflicts: there is no budget to look into. Mend that first.",
    "demand-unknown": "What its machines ask for is not known.",
    "idle": "No mover drives it.",
    "no-machine-turns": "No machine in it turns.",
    "no-such-mover": "It has no active mover of a type that is to be added.",
    "not-confirmed": "The answer did not hold when it was solved again. Please report this.",
    "overloaded": "It is overloaded: there is nothing to spare.",
}


def iter_spare_text(audit: Audit, power: SparePower) -> Iterator[str]:
    """Yield how best to spend the headroom of networks.

    Parameters
    ----------
    audit
        The audit that the advice is about.
    power
        The advice.
    """
    yield from heading(f"Spare power of {shown(audit.scan.facts.title)}", "=")
    yield from paragraph(_asked(power.spending))
    if not power.networks:
        yield "\nNo network that turns has power to spare for a machine.\n"
    for one in power.networks:
        yield "\n"
        yield from _iter_network(audit, one)
    if power.left_out:
        yield "\n"
        more = counted(power.left_out, "more network")
        yield from paragraph(f"{more} with less headroom: name one with --network to look into it.")


def _asked(spending: Spending) -> str:
    if spending.goal == "even":
        goal = "the greatest least share of what each machine could use"
    else:
        goal = "the greatest sum of the machines' speeds"
        if spending.weights:
            named = ", ".join(
                f"{shown(name)} x {decimal_text(by)}" for name, by in spending.weights
            )
            goal += f", weighted {named}"
    slower = "some machines may turn slower" if spending.slower else "no machine turns slower"
    pairs = counted(spending.steps, "pair")
    return f"Sought: {goal}; at most {pairs} of gears on a path; {slower}."


def _iter_network(audit: Audit, one: Spare | Unspent) -> Iterator[str]:
    unit = shown(audit.parts.catalogues.power_unit)
    yield from heading(f"network at {place(one.network.anchor)}", "-")
    yield from paragraph(outline_text(one.network, unit))
    if isinstance(one, Unspent):
        yield from paragraph(_WHY_NOT[one.reason])
        return
    yield "\n"
    yield from _iter_edits(audit, one.trial.edits)
    yield from _field("reached", _reached(one))
    faster = [turn for turn in one.turns if turn.machine]
    yield from _field("speeds", _speeds(faster))
    yield from _field("left", amount(one.left_power, unit))
    yield from _field("proof", _proof(one, unit))
    for further in one.instead[:1]:
        text = edit_text(one.trial.audits[0], further.gearing)
        more = amount(further.short_power, unit)
        told = f"with {more} more: {text}; that reaches {amount(further.worth, 'rpm')}"
        yield from _field("next", told)
    if one.held:
        named = ", ".join(place(spot.at) for spot in one.held[:MOST_TURNS])
        left = len(one.held) - MOST_TURNS
        yield from _field("least", named + (f", and {left:,} more" if left > 0 else ""))


def _iter_edits(audit: Audit, edits: Sequence[Edit]) -> Iterator[str]:
    if not edits:
        yield "  nothing is to be changed\n"
    for number, edit in enumerate(edits[:MOST_EDITS], 1):
        first = f"{number:>2}. "
        yield from paragraph(edit_text(audit, edit), first=first, rest=" " * len(first))
    if len(edits) > MOST_EDITS:
        yield f"    and {len(edits) - MOST_EDITS:,} more like these\n"


def _reached(one: Spare) -> str:
    if one.spending.goal == "even":
        return f"a share of {_share(one.worth)}, up from {_share(one.worth_before)}"
    weighted = "weighted " if one.spending.weights else ""
    return (
        f"{amount(one.worth, 'rpm')} over all machines{', ' + weighted.strip() if weighted else ''}"
        f", up from {amount(one.worth_before, 'rpm')}"
    )


def _speeds(turns: Sequence[Turn]) -> str:
    if not turns:
        return "every machine turns as it does"
    named = ", ".join(
        f"{place(turn.spot.at)} from {amount(abs(turn.before_rpm), 'rpm')} to "
        f"{amount(abs(turn.after_rpm), 'rpm')}"
        for turn in turns[:MOST_TURNS]
    )
    left = len(turns) - MOST_TURNS
    return named + (f", and {counted(left, 'more machine')}" if left > 0 else "")


def _proof(one: Spare, unit: str) -> str:
    optimum = one.optimum
    if not optimum.best:
        bound, gap = amount(optimum.bound, "rpm"), amount(optimum.gap, "rpm")
        return f"the best found; nothing goes above {bound}, a gap of {gap}"
    if optimum.by == "demand":
        assert optimum.next_share is not None
        power = amount(optimum.next_power, unit)
        return (
            f"nothing better exists: a least share of {_share(optimum.next_share)}, the next there "
            f"is, asks for {power} at least"
        )
    how = {
        "limits": "limits of speed and the gears there are allow no more, whatever the power",
        "price": "by a bound that a price on power gives",
        "enumeration": "all that could come up to it were looked at",
        "program": "by an integer program, gap 0",
    }[optimum.by]
    return f"nothing better exists: {how}"


def _share(share: Fraction) -> str:
    return f"{decimal_text(share * 100)} %"


def _field(label: str, text: str) -> Iterator[str]:
    yield from labelled(label, text, indent=4, width=_LABEL)
