"""A thousand grown builds: what the tool tells of their saves is what the judge says of them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from analyzer.pipeline.audit import audit_save
from analyzer.save.scan.scan import Fault
from tests.grown.entries import SIDES
from tests.grown.harvest import Grown, grown
from tests.grown.saves import write_build
from tests.grown.told import EVERY_PLACE, check_proofs, judged, stale, told
from tests.judge.vectors import minus
from tests.judge.verdicts import Verdict
from tests.judge.views import Chunk

BUILDS = 1000
BATCH = 50


@pytest.mark.parametrize("first", range(0, BUILDS, BATCH))
def test_the_tool_tells_of_every_network_what_the_judge_says(first: int, tmp_path: Path) -> None:
    for seed in range(first, first + BATCH):
        one = grown(seed)
        save = tmp_path / str(seed)
        write_build(save, one.build, data_version=one.view.data_version, gaps=one.gaps)
        audit = audit_save(save, catalogues=one.catalogues, policy=EVERY_PLACE)
        assert {_chunk(fault) for fault in audit.scan.coverage.faults} == _broken(one)
        for tool, judge in zip(told(audit), judged(one.verdicts), strict=True):
            assert tool == judge, f"seed {seed}"
        found = stale(audit)
        assert found is None or found == [verdict.stale for verdict in one.verdicts]
        check_proofs(audit, one.verdicts)


def _chunk(fault: Fault) -> Chunk:
    assert fault.chunk is not None
    return (fault.dimension, *fault.chunk)


def _broken(one: Grown) -> set[Chunk]:
    return {chunk for chunk, way in one.gaps.items() if way == "broken"}


def _has_balanced_loop(verdict: Verdict) -> bool:
    return verdict.loop_count > 0 and not verdict.loops


def _crosses_a_region_border(verdict: Verdict) -> bool:
    return len({(x >> 9, z >> 9) for _, (x, _, z) in verdict.members}) > 1


def _couples_by(verdict: Verdict, port: str) -> bool:
    return any(coupling.port == port for coupling in verdict.couplings)


def _couples_at_another_cell(verdict: Verdict) -> bool:
    return any(
        coupling.port in SIDES and sum(map(abs, minus(coupling.b[1], coupling.a[1]))) > 1
        for coupling in verdict.couplings
    )


@pytest.mark.parametrize(
    ("least", "holds"),
    [
        (200, _has_balanced_loop),
        (100, lambda verdict: _has_balanced_loop(verdict) and verdict.demand),
        (200, lambda verdict: verdict.conflict == "loop"),
        (30, lambda verdict: verdict.conflict == "loop" and max(verdict.loops) > 4),
        (50, lambda verdict: len(verdict.loops) > 1),
        (100, lambda verdict: verdict.conflict == "movers"),
        (150, lambda verdict: verdict.state == "overloaded"),
        (150, lambda verdict: verdict.state == "turning" and verdict.demand),
        (100, lambda verdict: verdict.over_speed),
        (10, lambda verdict: verdict.state == "turning" and verdict.demand is None),
        (50, _crosses_a_region_border),
        (100, lambda verdict: len(verdict.members) > 40),
        (100, lambda verdict: verdict.opened),
        (30, lambda verdict: verdict.opened and verdict.demand),
        (100, lambda verdict: _couples_by(verdict, "link")),
        (50, lambda verdict: _couples_by(verdict, "link") and verdict.demand),
        (50, lambda verdict: _couples_by(verdict, "offset")),
        (40, lambda verdict: _couples_by(verdict, "offset") and verdict.demand),
        (50, lambda verdict: verdict.drives),
        (40, lambda verdict: verdict.driven and verdict.state == "turning"),
        (5, lambda verdict: verdict.held and verdict.state == "turning"),
        (10, lambda verdict: verdict.conflict == "governors"),
        (40, lambda verdict: len(verdict.zones) > 2 and verdict.state == "turning"),
        (40, _couples_at_another_cell),
        (50, lambda verdict: verdict.cut and not verdict.unusable),
        (30, lambda verdict: verdict.unusable),
        (30, lambda verdict: verdict.broken),
        (50, lambda verdict: verdict.dragged),
        (50, lambda verdict: verdict.too_slow),
        (100, lambda verdict: verdict.stale),
    ],
)
def test_the_builds_hold_enough_of_each_thing(least: int, holds: Callable[[Verdict], bool]) -> None:
    builds = [grown(seed) for seed in range(BUILDS)]
    assert sum(any(map(holds, one.verdicts)) for one in builds) >= least


def test_the_builds_have_up_to_two_hundred_blocks() -> None:
    sizes = [len(grown(seed).build) for seed in range(BUILDS)]
    assert min(sizes) == 1
    assert max(sizes) == 200
    assert sum(sizes) > 60 * BUILDS
