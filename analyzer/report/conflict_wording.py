"""Sentences about conflicts: why no speed but zero satisfies a network."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from analyzer.base.exact import exact_text
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.quantities import amount, counted, place
from analyzer.report.wording import Wording, always, quantities


def _loop(_: Audit, finding: Finding) -> str:
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


def _movers(_: Audit, finding: Finding) -> str:
    made, asked = quantities(finding)
    witness = finding.witness
    assert witness is not None, "a mover conflict has a witness"
    if finding.names:
        return (
            f"A mover pushes against a governor: the one at {place(witness.parts[0])} would turn "
            f"it at {amount(made, 'rpm')}, and the mover at {place(witness.parts[-1])} asks for "
            f"{amount(asked, 'rpm')}. Nothing in the network turns."
        )
    push = "push opposite ways" if made * asked < 0 else "ask for different speeds"
    others = finding.count - 2
    more = f" ({counted(others, 'more mover')} in the network)" if others > 0 else ""
    return (
        f"Two movers {push}{more}: the one at {place(witness.parts[0])} would turn the one at "
        f"{place(witness.parts[-1])} at {amount(made, 'rpm')}, which itself asks for "
        f"{amount(asked, 'rpm')}. Nothing in the network turns."
    )


def _part_the_movers(_: Audit, finding: Finding) -> str:
    made, asked = quantities(finding)
    if finding.names:
        return (
            "Turn the mover round, set the governor the other way, or couple the mover elsewhere."
        )
    if made * asked < 0:
        return "Turn one of the two round, or put a reversing mesh on the way between them."
    return "Give both one speed, by their own setting or by gears on the way between them."


def _governors(_: Audit, finding: Finding) -> str:
    others = finding.count - 1
    more = (
        f" {counted(others, 'more contradiction')} of governors in the network." if others else ""
    )
    witness = finding.witness
    if witness is None:
        clash = "Governors hold at rest what would turn them, so that no speeds last."
    elif len(witness.governed) > 1 and witness.kind == "loop":
        clash = (
            f"Governors lead round from the port of the one at {place(witness.parts[0])} back to "
            "it, and no speeds satisfy them all: what one turns, another stops or reverses."
        )
    elif witness.kind == "loop":
        clash = (
            f"The governor at {place(witness.parts[0])} contradicts itself: what its port drives "
            "leads back to it at another speed than it sets."
        )
    else:
        clash = _two_governors(finding, place(witness.parts[0]), place(witness.parts[-1]))
    return f"{clash} Nothing in the network turns.{more}"


def _two_governors(finding: Finding, one: str, other: str) -> str:
    if finding.measured is None:
        return f"Two governors ask for opposite senses: the one at {one} and the one at {other}."
    made, asked = quantities(finding)
    return (
        f"Two governors ask for different speeds: what the one at {one} sets would be "
        f"{amount(made, 'rpm')} at the one at {other}, which sets {amount(asked, 'rpm')}."
    )


def _out_of_range(_: Audit, finding: Finding) -> str:
    return (
        f"From its slowest part to its fastest the speed doubles {amount(finding.measured, '')}"
        f"times; no more than {amount(finding.limit, '')}doublings can be written."
    )


CONFLICTS: Final[Mapping[str, Wording]] = {
    "loop-conflict": Wording(
        _loop,
        always(
            "Open the loop: take out one of its parts, or move one so that it clears one of its "
            "neighbours."
        ),
    ),
    "mover-conflict": Wording(_movers, _part_the_movers),
    "governor-conflict": Wording(
        _governors,
        always(
            "Set the governors so that they agree, gear the way between them, or take one of them "
            "out."
        ),
    ),
    "out-of-range": Wording(
        _out_of_range, always("Break the chain of gears between the two places.")
    ),
}
