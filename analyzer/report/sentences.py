"""The sentences about findings: what is wrong, by how much, and what to do next."""

from __future__ import annotations

import shlex
from collections.abc import Mapping
from typing import Final

from analyzer.base.block import namespace_of
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.clean import shown
from analyzer.report.conflict_wording import CONFLICTS
from analyzer.report.drive_wording import DRIVES
from analyzer.report.quantities import place
from analyzer.report.record_wording import RECORDS
from analyzer.report.throws_text import throws_text
from analyzer.report.trial_wording import TRIALS
from analyzer.report.wording import Wording

__all__ = ["WORDINGS", "draft_command", "message", "next_command", "next_step", "place"]

#: What is said about the findings of each rule.
WORDINGS: Final[Mapping[str, Wording]] = {**CONFLICTS, **DRIVES, **RECORDS, **TRIALS}


def message(audit: Audit, finding: Finding) -> str:
    """Return what is wrong, with what was measured, the limit and the unit.

    Where it holds in another state of switches and movers, the sentence begins with what to set.
    """
    wrong = statement(audit, finding)
    if not finding.throws:
        return wrong
    return f"With {throws_text(finding.throws)}: {_begun(wrong)}"


def statement(audit: Audit, finding: Finding) -> str:
    """Return what is wrong, without what to set for it."""
    return WORDINGS[finding.rule].message(audit, finding)


def next_step(audit: Audit, finding: Finding) -> str:
    """Return what to do next; where a command does it, the sentence leads up to that."""
    step = WORDINGS[finding.rule].next_step(audit, finding)
    return f"Before it is set so: {_begun(step)}" if finding.throws else step


def _begun(sentence: str) -> str:
    """Return a sentence as it goes on after a colon."""
    return sentence[:1].lower() + sentence[1:]


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
    if finding.rule == "unknown-blocks":
        return draft_command(save, namespace_of(finding.names[0][0]))
    return draft_command(save) if finding.rule == "no-catalogue" else None


def draft_command(save: str, namespace: str | None = None) -> str:
    """Return the command that drafts a catalogue, for what stands in one namespace or for all."""
    if namespace is None:
        return f"lineshaft survey {save} --draft catalogue.toml"
    file = "".join(char if char.isalnum() or char in "_-" else "_" for char in namespace)
    only = shlex.quote(shown(namespace))
    return f"lineshaft survey {save} --draft {file}.toml --namespace {only}"
