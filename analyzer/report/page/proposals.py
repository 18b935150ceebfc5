"""Changes that a page proposes, each with what is said of it."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.advice.advice import Advice, Trial
from analyzer.advice.spare.networks import SparePower
from analyzer.advice.spare.spare import Spare
from analyzer.base.exact import decimal_text
from analyzer.findings.audit import Audit
from analyzer.report.advice_wording import lost_text, proof_text
from analyzer.report.clean import shown
from analyzer.report.quantities import amount, place
from analyzer.report.spare_wording import instead_text, optimum_text, reached_text, speeds_text


@dataclass(frozen=True)
class Proposal:
    """A change that the page shows over the drawing.

    Parameters
    ----------
    trial
        The change, and what it does.
    told
        What is said of it, as pairs of a term and a text.
    finding
        Place among the audit's findings of the one that it mends; None where it mends none.
    """

    trial: Trial
    told: tuple[tuple[str, str], ...] = ()
    finding: int | None = None


def remedies_of(audit: Audit, advice: Advice) -> list[Proposal]:
    """Return every remedy, in the order of findings and, for each, the cheapest first."""
    return [
        Proposal(
            remedy.trial,
            (
                ("cost", decimal_text(remedy.cost.touched)),
                ("gives up", lost_text(remedy)),
                ("proof", proof_text(remedy.proof)),
            ),
            number,
        )
        for number, finding in enumerate(audit.findings.items)
        for remedy in advice.remedies.get(finding.fingerprint, ())
    ]


def spendings_of(audit: Audit, power: SparePower) -> list[Proposal]:
    """Return how best to spend the headroom of each network where anything is to be changed."""
    unit = shown(audit.parts.catalogues.power_unit)
    return [
        Proposal(
            one.trial,
            (
                ("spare power", f"network at {place(one.network.anchor)}"),
                ("reached", reached_text(one)),
                ("speeds", speeds_text(one)),
                ("left", amount(one.left_power, unit)),
                ("proof", optimum_text(one, unit)),
                *(("next", instead_text(one, further, unit)) for further in one.instead[:1]),
            ),
        )
        for one in power.networks
        if isinstance(one, Spare) and one.trial.edits
    ]
