"""Exploring other states of an audited save's switches and movers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Findings
from analyzer.findings.ignores import Ignore
from analyzer.findings.judge import finding_order
from analyzer.pipeline.ignores import set_aside
from analyzer.switching.explore import MOST_STATES, explore_switches
from analyzer.switching.switching import Switching


@dataclass(frozen=True, eq=False)
class Explored:
    """An audit with the findings of other states among its own, and what else was found."""

    audit: Audit
    switching: Switching


def explore_save(
    audit: Audit,
    *,
    most_states: int = MOST_STATES,
    ignores: Sequence[Ignore] = (),
    today: date | None = None,
) -> Explored:
    """Explore what a save would do in other states of its switches and movers.

    Parameters
    ----------
    audit
        The audit of the save; one without switches stays as it is.
    most_states
        Most states to solve of one assembly.
    ignores, today
        As the audit was given them; they hold for what is found here, too.

    Returns
    -------
    Explored
        Findings that hold in another state alone are certain *in another switch state* and name
        what to set.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from analyzer.demo.build import build_demo
    >>> from analyzer.pipeline.audit import audit_save
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     audit = audit_save(name, catalogues=["quayworks"])
    >>> explored = explore_save(audit)
    >>> [(one.rule, len(one.throws)) for one in explored.audit.findings.items if one.throws]
    [('overload', 1), ('mover-conflict', 1)]
    """
    switching = explore_switches(audit, most_states=most_states)
    found = [finding for assembly in switching.assemblies for finding in assembly.found]
    if not found:
        return Explored(audit, switching)
    before = [*audit.findings.items, *(one.finding for one in audit.ignored)]
    findings = Findings(tuple(sorted([*before, *found], key=finding_order)))
    merged = replace(audit, findings=findings, ignored=(), lapsed=())
    return Explored(set_aside(merged, ignores, today=today), switching)
