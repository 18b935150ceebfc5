"""Loops that contradict themselves: no fewer couplings and no fewer parts would do."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

import pytest

from analyzer.advice.advice import Cut, Edit, Gearing, Remedy, Remove
from analyzer.advice.advise import advise_audit
from analyzer.advice.edits import joint_of
from analyzer.advice.workbench import Workbench
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from tests.advice.brute import spot_of, whole
from tests.advice.builds import iter_draws, random_tangle

EACH = 30


def loops_of(audit: Audit) -> list[Finding]:
    """Return the loop conflicts."""
    return [one for one in audit.findings.items if one.rule == "loop-conflict"]


@pytest.mark.parametrize("seed", range(6))
def test_no_fewer_couplings_and_no_fewer_parts_would_do(seed: int) -> None:
    kinds = set()
    for draw in iter_draws(seed, EACH):
        audit = random_tangle(draw, parts=draw.randint(3, 7), more=draw.randint(1, 5))
        findings = loops_of(audit)
        if len(findings) != 1:
            continue
        bench = whole(audit)
        remedies = {one.kind: one for one in advise_audit(audit).remedies[findings[0].fingerprint]}
        joints = [joint_of(audit.parts, audit.couplings, n) for n in range(len(audit.couplings))]
        cuts: list[Edit] = [Cut(joint) for joint in joints]
        removals: list[Edit] = [Remove(spot_of(audit, row)) for row in range(len(audit.parts))]
        for kind, choices in (("cut-couplings", cuts), ("remove-parts", removals)):
            least = _least(bench, choices)
            remedy = remedies.get(kind)
            if remedy is None:
                assert least is None
                continue
            _judge(remedy, least)
            kinds.add((kind, least))
        _judge_gears(audit, remedies)
    assert len(kinds) > 2


def _free(after: Audit) -> bool:
    return not loops_of(after) and bool(after.solution.active.any())


def _judge(remedy: Remedy, least: int | None) -> None:
    assert len(remedy.trial.edits) == least
    assert (remedy.proof.found, remedy.proof.bound) == (least, least)
    assert _free(remedy.trial.audits[1])


def _judge_gears(audit: Audit, remedies: dict[str, Remedy]) -> None:
    """One reversing gear is proposed just where one at some coupling would do."""
    bench = whole(audit)
    would = any(
        not loops_of(bench.audit_after([Gearing(joint, joint.second, Fraction(-1))]))
        for joint in (
            joint_of(audit.parts, audit.couplings, number) for number in range(len(audit.couplings))
        )
    )
    assert ("reverse" in remedies) == would


def _least(bench: Workbench, choices: Sequence[Edit]) -> int | None:
    for count in range(1, len(choices) + 1):
        if any(_free(bench.audit_after(chosen)) for chosen in combinations(choices, count)):
            return count
    return None


def test_two_knots_of_one_network_are_mended_one_by_one() -> None:
    found = 0
    for draw in iter_draws(77, 60):
        audit = random_tangle(draw, parts=9, more=4)
        findings = loops_of(audit)
        if len(findings) < 2:
            continue
        found += 1
        advice = advise_audit(audit)
        for finding in findings:
            for remedy in advice.remedies[finding.fingerprint]:
                left = {one.fingerprint for one in loops_of(remedy.trial.audits[1])}
                assert finding.fingerprint not in left
    assert found > 3
