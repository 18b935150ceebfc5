"""Spare power for people: what to do with it, network by network."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from analyzer.advice.advice import Edit
from analyzer.advice.spare.networks import SparePower
from analyzer.advice.spare.spare import Spare, Spending, Unspent
from analyzer.base.exact import decimal_text
from analyzer.findings.audit import Audit
from analyzer.report.advice_wording import edit_text, outline_text
from analyzer.report.clean import shown
from analyzer.report.layout import heading, labelled, paragraph
from analyzer.report.quantities import amount, counted, place
from analyzer.report.spare_wording import (
    MOST_TURNS,
    WHY_NOT,
    instead_text,
    optimum_text,
    reached_text,
    speeds_text,
)

#: Most edits that are listed for one network.
MOST_EDITS: Final = 12
_LABEL: Final = 10


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
        yield from paragraph(WHY_NOT[one.reason])
        return
    yield "\n"
    yield from _iter_edits(audit, one.trial.edits)
    yield from _field("reached", reached_text(one))
    yield from _field("speeds", speeds_text(one))
    yield from _field("left", amount(one.left_power, unit))
    yield from _field("proof", optimum_text(one, unit))
    for further in one.instead[:1]:
        yield from _field("next", instead_text(one, further, unit))
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


def _field(label: str, text: str) -> Iterator[str]:
    yield from labelled(label, text, indent=4, width=_LABEL)
