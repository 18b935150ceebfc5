"""Advice for machines: docs/advice.md."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from analyzer.advice.advice import (
    Advice,
    Alongside,
    Cost,
    Cut,
    Edit,
    Flip,
    Gearing,
    Joint,
    Lost,
    Outline,
    Proof,
    Put,
    Remedy,
    Remove,
    SetActive,
    SetNumber,
    SetProperty,
    Trial,
)
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.advice_wording import edit_text
from analyzer.report.json_text import iter_json
from analyzer.report.quantities import quantity
from analyzer.report.scan_json import save_facts, tool
from analyzer.report.sentences import message
from analyzer.solution.solution import Conflict

#: Grows with any change that a reader of the document could trip over.
SCHEMA_VERSION: Final = 2


def iter_advice_json(
    audit: Audit, advice: Advice, spare: dict[str, Any] | None = None
) -> Iterator[str]:
    """Yield a document with the remedies for each finding that any were sought for.

    Parameters
    ----------
    audit
        The audit that the advice is about.
    advice
        The remedies.
    spare
        Advice on spare power, as `analyzer.report.spare_json.spare_row` gives it.
    """
    yield from iter_json(
        {
            **_head(audit),
            "trial": None,
            "findings": [
                {
                    **_finding(audit, finding),
                    "remedies": [remedy_row(one) for one in advice.remedies[finding.fingerprint]],
                }
                for finding in audit.findings.items
                if finding.fingerprint in advice.remedies
            ],
            "spare": spare,
        }
    )


def iter_trial_json(audit: Audit, trial: Trial) -> Iterator[str]:
    """Yield a document with what a change would do."""
    yield from iter_json({**_head(audit), "trial": trial_row(trial), "findings": [], "spare": None})


def remedy_row(remedy: Remedy) -> dict[str, Any]:
    """Return a remedy as plain values."""
    return {
        "kind": remedy.kind,
        **trial_row(remedy.trial),
        "cost": _cost(remedy.cost),
        "lost": _lost(remedy.lost),
        "proof": _proof(remedy.proof),
    }


def trial_row(trial: Trial) -> dict[str, Any]:
    """Return a change that was tried as plain values."""
    before, after = trial.audits
    return {
        "edits": [edit_row(before, edit) for edit in trial.edits],
        "before": [outline_row(before, outline) for outline in trial.before],
        "after": [outline_row(after, outline) for outline in trial.after],
    }


def edit_row(before: Audit, edit: Edit) -> dict[str, Any]:
    """Return an edit as plain values, with the sentence that says it."""
    said = {"text": edit_text(before, edit)}
    if isinstance(edit, (Cut, Gearing)):
        return {**_joint_edit(edit), **said}
    where = {"dimension": edit.spot.dimension, "at": list(edit.spot.at)}
    return {"do": _verb(edit), **where, **_details(edit), **said}


def _joint_edit(edit: Cut | Gearing) -> dict[str, Any]:
    row: dict[str, Any] = {"dimension": edit.joint.dimension, "coupling": _joint(edit.joint)}
    if isinstance(edit, Cut):
        return {"do": "cut", **row}
    gears = None if edit.gears is None else list(edit.gears)
    change = quantity("factor", edit.factor)
    return {"do": "gear", **row, "behind": list(edit.behind), "gears": gears, **change}


def _verb(edit: Edit) -> str:
    if isinstance(edit, SetActive):
        return "start" if edit.active else "stop"
    return {
        Remove: "remove",
        Put: "put",
        Flip: "flip",
        SetProperty: "set",
        SetNumber: "store",
        Alongside: "alongside",
    }[type(edit)]


def _details(edit: Edit) -> dict[str, Any]:
    match edit:
        case Put():
            return {
                "block": edit.state.name,
                "properties": dict(edit.state.properties),
                "numbers": {
                    field.name.lower(): quantity("value", value) for field, value in edit.numbers
                },
            }
        case SetProperty():
            return {"property": edit.property, "value": edit.value}
        case SetNumber():
            return {"number": edit.field.name.lower(), **quantity("value", edit.value)}
        case Alongside():
            return {"count": edit.count}
    return {}


def _head(audit: Audit) -> dict[str, Any]:
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": tool(),
        "save": save_facts(audit.scan.facts),
        "power_unit": audit.parts.catalogues.power_unit,
    }


def _finding(audit: Audit, finding: Finding) -> dict[str, Any]:
    return {
        "fingerprint": finding.fingerprint,
        "rule": finding.rule,
        "level": str(finding.level),
        "certain": finding.certain,
        "dimension": finding.dimension,
        "at": None if finding.at is None else list(finding.at),
        "message": message(audit, finding),
    }


def outline_row(audit: Audit, outline: Outline) -> dict[str, Any]:
    """Return what a network does as plain values."""
    return {
        "id": outline.id,
        "dimension": outline.dimension,
        "anchor": list(outline.anchor),
        "state": str(outline.state),
        "conflict": None if outline.conflict == Conflict.NONE else str(outline.conflict),
        "parts": outline.parts,
        "movers": outline.movers,
        "machines": outline.machines,
        "cut": outline.cut,
        **quantity("capacity", outline.capacity_power),
        **quantity("demand", outline.demand_power),
        **quantity("headroom", outline.headroom_power),
        **quantity("machines_rpm", outline.machines_rpm),
        "findings": [_finding(audit, finding) for finding in outline.findings],
    }


def _joint(joint: Joint) -> dict[str, Any]:
    return {
        "parts": [list(joint.first), list(joint.second)],
        "kind": str(joint.kind),
        "ports": [str(joint.first_port), str(joint.second_port)],
    }


def _cost(cost: Cost) -> dict[str, Any]:
    return {
        **quantity("touched", cost.touched),
        **quantity("lost_rpm", cost.lost_rpm),
        "stopped": cost.stopped,
        "places": [list(place) for place in cost.places],
    }


def _lost(lost: Lost) -> dict[str, Any]:
    return {
        "stopped": [list(place) for place in lost.stopped],
        "slowed": [
            {"at": list(place), **quantity("before", old), **quantity("after", new)}
            for place, old, new in lost.slowed
        ],
        **quantity("rpm", lost.rpm),
    }


def _proof(proof: Proof) -> dict[str, Any]:
    return {
        "by": proof.by,
        "least": proof.least,
        **quantity("found", proof.found),
        **quantity("bound", proof.bound),
    }
