"""Spare power for machines: docs/advice.md."""

from __future__ import annotations

from typing import Any

from analyzer.advice.spare.networks import SparePower
from analyzer.advice.spare.spare import Optimum, Spare, Spending, Unspent
from analyzer.findings.audit import Audit
from analyzer.report.advice_json import edit_row, outline_row, trial_row
from analyzer.report.quantities import quantity


def spare_row(audit: Audit, power: SparePower) -> dict[str, Any]:
    """Return advice on spare power as plain values."""
    return {
        **_asked(power.spending),
        "networks": [_network(audit, one) for one in power.networks],
        "left_out": power.left_out,
    }


def _asked(spending: Spending) -> dict[str, Any]:
    return {
        "goal": spending.goal,
        "weights": {name: quantity("weight", by) for name, by in spending.weights},
        "added": [{"count": count, "block": block} for count, block in spending.added],
        "steps": spending.steps,
        "slower": spending.slower,
    }


def _network(audit: Audit, one: Spare | Unspent) -> dict[str, Any]:
    if isinstance(one, Unspent):
        return {"network": outline_row(audit, one.network), "reason": one.reason, "advice": None}
    before = one.trial.audits[0]
    advice = {
        **trial_row(one.trial),
        "machines": [
            {
                "at": list(turn.spot.at),
                **quantity("before", abs(turn.before_rpm)),
                **quantity("after", abs(turn.after_rpm)),
            }
            for turn in one.turns
            if turn.machine
        ],
        **quantity("worth_before", one.worth_before),
        **quantity("worth", one.worth),
        **quantity("left", one.left_power),
        "optimum": _optimum(one.optimum),
        "next": [
            {
                "edit": edit_row(before, further.gearing),
                **quantity("worth", further.worth),
                **quantity("short", further.short_power),
            }
            for further in one.instead
        ],
        "held": [list(spot.at) for spot in one.held],
    }
    return {"network": outline_row(audit, one.network), "reason": None, "advice": advice}


def _optimum(optimum: Optimum) -> dict[str, Any]:
    return {
        "by": optimum.by,
        "best": optimum.best,
        **quantity("bound", optimum.bound),
        **quantity("gap", optimum.gap),
        **quantity("next_share", optimum.next_share),
        **quantity("next_demand", optimum.next_power),
    }
