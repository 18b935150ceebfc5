"""Overloads: no set of fewer machines, and no milder one, would do; nor fewer movers or gears."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from analyzer.advice.advice import Alongside, Edit, Gearing, Remedy, Remove
from analyzer.advice.advise import advise_audit
from analyzer.advice.edits import joint_of
from analyzer.advice.workbench import Workbench
from analyzer.findings.audit import Audit
from tests.advice.brute import iter_mended, lost, machine_rows, spot_of, turns, whole
from tests.advice.builds import RATIOS, iter_draws, random_hall, rules

EACH = 40
SEEDS = range(5)


def remedies_of(audit: Audit, rule: str) -> dict[str, Remedy]:
    """Return the remedies of the only finding of a rule, by kind."""
    (finding,) = (one for one in audit.findings.items if one.rule == rule)
    return {one.kind: one for one in advise_audit(audit).remedies[finding.fingerprint]}


def mended(rule: str) -> Callable[[Audit], bool]:
    """Tell of what comes of a change whether the rule finds nothing and something turns."""
    return lambda after: rule not in rules(after) and turns(after)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_fewer_machines_and_no_milder_set_would_do(seed: int) -> None:
    judged = 0
    for draw in iter_draws(seed, EACH):
        audit = random_hall(draw, machines=draw.randint(2, 6), shafts=3)
        if "overload" not in rules(audit):
            continue
        judged += 1
        remedy = remedies_of(audit, "overload").get("disconnect-machines")
        bench = whole(audit)
        choices: list[Edit] = [Remove(spot_of(audit, row)) for row in machine_rows(audit)]
        best = min(
            (
                lost(audit, after)
                for count in range(1, len(choices) + 1)
                for _, after in iter_mended(bench, choices, count, mended("overload"))
            ),
            default=None,
        )
        if remedy is None:
            assert best is None
            continue
        assert best == (len(remedy.lost.stopped), remedy.lost.rpm)
        assert remedy.proof.least
    assert judged > EACH // 4


@pytest.mark.parametrize("seed", SEEDS)
def test_one_mover_fewer_would_not_do(seed: int) -> None:
    judged = 0
    for draw in iter_draws(10 + seed, EACH):
        audit = random_hall(draw, machines=5, shafts=2, movers=draw.randint(1, 2))
        if "overload" not in rules(audit):
            continue
        remedy = remedies_of(audit, "overload")["add-movers"]
        (edit,) = remedy.trial.edits
        assert isinstance(edit, Alongside)
        bench = whole(audit)
        assert mended("overload")(bench.audit_after([edit]))
        if edit.count > 1:
            fewer = bench.audit_after([Alongside(edit.spot, edit.count - 1)])
            assert "overload" in rules(fewer)
        judged += 1
    assert judged > EACH // 4


def gear_choices(audit: Audit, ratios: list[Fraction]) -> list[Edit]:
    """Return every pair of gears that can be put into a coupling, and change what lies behind.

    A coupling with nothing behind it but the way round a ring is left out: gears there contradict
    the ring.
    """
    bench = whole(audit)
    joints = [joint_of(audit.parts, audit.couplings, n) for n in range(len(audit.couplings))]
    return [
        Gearing(joint, behind, -ratio, ("a", "b"))
        for joint in joints
        for behind in (joint.first, joint.second)
        if alone_behind(bench, Gearing(joint, behind, Fraction(-1, 3)))
        for ratio in ratios
    ]


def alone_behind(bench: Workbench, edit: Gearing) -> bool:
    """Tell whether gears change nothing but what lies behind them."""
    after = bench.audit_after([edit])
    if "loop-conflict" in rules(after) or not faithful(bench.before, after):
        return False
    row = [after.parts.block_at(part) for part in range(len(after.parts))].index(edit.behind)
    old, new = bench.before.solution.speed_rpm(row), after.solution.speed_rpm(row)
    return old is not None and new == old * edit.factor


def faithful(before: Audit, after: Audit) -> bool:
    """Tell whether movers turn as before: gears that outdo a mover change more than they say."""
    rpm = [
        [audit.solution.speed_rpm(row) for row in range(len(audit.parts))]
        for audit in (before, after)
    ]
    movers = [row for row in range(len(before.parts)) if before.solution.active[row]]
    return all(
        rpm[1][row] is not None and abs(rpm[0][row] or 0) == abs(rpm[1][row] or 0) for row in movers
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_no_fewer_gears_and_no_milder_ones_would_do(seed: int) -> None:
    counts = set()
    for draw in iter_draws(20 + seed, 14):
        audit = random_hall(
            draw, machines=draw.randint(2, 3), shafts=draw.randint(0, 1), rings=draw.choice((0, 1))
        )
        if "overload" not in rules(audit):
            continue
        remedy = remedies_of(audit, "overload").get("change-speed")
        bench = whole(audit)
        choices = gear_choices(audit, [ratio for ratio in RATIOS if ratio < 1])
        best = None
        for count in (1, 2):
            found = [
                lost(audit, after)[1]
                for _, after in iter_mended(bench, choices, count, mended("overload"))
                if faithful(audit, after)
            ]
            if found:
                best = (count, min(found))
                break
        if best is None:
            assert remedy is None or len(remedy.trial.edits) > 2
        else:
            assert remedy is not None
            assert (len(remedy.trial.edits), remedy.lost.rpm) == best
            counts.add(best[0])
    assert counts
