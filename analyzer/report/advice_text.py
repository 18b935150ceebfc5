"""Advice for people: remedies for each finding, or what a change would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from analyzer.advice.advice import Advice, Outline, Remedy, Trial
from analyzer.base.exact import decimal_text
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.advice_wording import edit_text, lost_text, outline_text, proof_text
from analyzer.report.clean import shown
from analyzer.report.finding_text import teleport
from analyzer.report.layout import heading, labelled, paragraph
from analyzer.report.quantities import place
from analyzer.report.sentences import message

#: Most edits of one remedy that are listed, and most findings about one network.
MOST_EDITS: Final = 12
MOST_FINDINGS: Final = 6
_LABEL: Final = 10


def iter_advice_text(audit: Audit, advice: Advice) -> Iterator[str]:
    """Yield the remedies for each finding that any were sought for.

    Parameters
    ----------
    audit
        The audit that the advice is about.
    advice
        The remedies.
    """
    advised = [one for one in audit.findings.items if one.fingerprint in advice.remedies]
    yield from heading(f"Remedies for {shown(audit.scan.facts.title)}", "=")
    if not advised:
        yield "\nThere is nothing to mend: no finding is an error, and no machine is too slow.\n"
    for finding in advised:
        yield "\n"
        yield from _iter_finding(audit, finding, advice.remedies[finding.fingerprint])


def iter_trial_text(audit: Audit, trial: Trial) -> Iterator[str]:
    """Yield what a change would do to every network that it touches."""
    yield from heading(f"A change tried on {shown(audit.scan.facts.title)}", "=")
    yield "\n"
    for edit in trial.edits:
        yield from paragraph(f"- {edit_text(trial.audits[0], edit)}", rest="  ")
    if not trial.edits:
        yield "nothing is changed\n"
    for title, outlines, side in (
        ("Before", trial.before, trial.audits[0]),
        ("After", trial.after, trial.audits[1]),
    ):
        yield "\n"
        yield from heading(title, "-")
        if not outlines:
            yield "no network there\n"
        for outline in outlines:
            yield from _iter_outline(side, outline)


def _iter_finding(audit: Audit, finding: Finding, remedies: Sequence[Remedy]) -> Iterator[str]:
    at = "" if finding.at is None else f" at {place(finding.at)}"
    yield from heading(f"{finding.level}: {finding.rule}{at}", "-")
    yield from paragraph(message(audit, finding))
    if finding.at is not None:
        way = teleport(audit, finding.dimension, place(finding.at))
        if way is not None:
            yield f"{way}\n"
    if not remedies:
        yield "\n"
        yield from paragraph(
            "No remedy of the kinds that are sought was found to mend it by itself."
        )
    for number, remedy in enumerate(remedies, 1):
        yield "\n"
        yield from _iter_remedy(audit, number, remedy)


def _iter_remedy(audit: Audit, number: int, remedy: Remedy) -> Iterator[str]:
    before, edits = remedy.trial.audits[0], remedy.trial.edits
    first = f"{number}. "
    for edit in edits[:MOST_EDITS]:
        yield from paragraph(edit_text(before, edit), first=first, rest=" " * len(first))
        first = " " * len(first)
    if len(edits) > MOST_EDITS:
        yield f"   and {len(edits) - MOST_EDITS:,} more like these\n"
    yield from _field("cost", decimal_text(remedy.cost.touched))
    yield from _field("gives up", lost_text(remedy))
    unit = shown(audit.parts.catalogues.power_unit)
    for outline in remedy.trial.after[:MOST_FINDINGS]:
        yield from _field(
            "after", f"network at {place(outline.anchor)}: {outline_text(outline, unit)}"
        )
    yield from _field("proof", proof_text(remedy.proof))


def _iter_outline(audit: Audit, outline: Outline) -> Iterator[str]:
    unit = shown(audit.parts.catalogues.power_unit)
    text = f"network at {place(outline.anchor)}: {outline_text(outline, unit)}"
    yield from paragraph(text, rest="  ")
    for finding in outline.findings[:MOST_FINDINGS]:
        told = f"{finding.level}: {finding.rule}: {message(audit, finding)}"
        yield from paragraph(told, first="  ", rest="    ")
    left = len(outline.findings) - MOST_FINDINGS
    if left > 0:
        yield f"  and {left:,} more findings\n"


def _field(label: str, text: str) -> Iterator[str]:
    yield from labelled(label, text, indent=3, width=_LABEL)
