"""Parts that turn too fast or too slow: no fewer gears would do, and none that cost more speed."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

import pytest

from analyzer.base.place import Block
from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from tests.advice.brute import iter_mended, lost, turns, whole
from tests.advice.builds import RATIOS, iter_draws, random_hall, rules
from tests.advice.test_judge_overload import faithful, gear_choices, remedies_of


def _kept(before: Audit, rule: str, after: Audit) -> bool:
    """Tell whether the rule finds nothing, and no other finds a place that it did not before."""
    return rule not in rules(after) and _places(after) <= _places(before) and turns(after)


def _places(audit: Audit) -> set[tuple[str, Block | None]]:
    return {
        (one.rule, place)
        for one in audit.findings.items
        if one.level >= Level.WARNING and one.rule != "thin-headroom"
        for place in (one.at, *one.also)
    }


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("rule", ["over-speed", "too-slow"])
def test_no_fewer_gears_would_bring_all_within_their_limits(rule: str, seed: int) -> None:
    counts = set()
    for draw in iter_draws(30 + seed, 16):
        audit = random_hall(
            draw,
            machines=2,
            shafts=2,
            limit=14 if rule == "over-speed" else 60,
            least=True,
            rings=draw.choice((0, 1)),
        )
        present = set(rules(audit))
        if rule not in present or "overload" in present:
            continue
        remedy = remedies_of(audit, rule).get("change-speed")
        bench = whole(audit)
        choices = gear_choices(audit, RATIOS)
        best: tuple[int, Fraction] | None = None
        for count in (1, 2):
            found = [
                lost(audit, after)[1]
                for _, after in iter_mended(bench, choices, count, partial(_kept, audit, rule))
                if faithful(audit, after)
            ]
            if found:
                best = (count, min(found))
                break
        if best is None:
            assert remedy is None or len(remedy.trial.edits) > 2
            continue
        assert remedy is not None
        assert (len(remedy.trial.edits), remedy.lost.rpm) == best
        counts.add(best[0])
    assert counts or seed > 2
