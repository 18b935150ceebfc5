"""Spare power of whole networks: what is advised holds when it is solved again."""

from __future__ import annotations

import time
from fractions import Fraction
from itertools import product

import pytest

from analyzer.advice.advice import Alongside, Edit
from analyzer.advice.spare import best, spend
from analyzer.advice.spare.networks import MOST_NETWORKS, network_named, spare_power
from analyzer.advice.spare.spare import Goal, Spare, Spending, Unspent
from analyzer.advice.spare.spend import spend_power
from analyzer.base.errors import UsageError
from analyzer.findings.audit import Audit
from analyzer.solution.solution import State
from tests.advice.brute import machine_rows, whole
from tests.advice.builds import RATIOS, audit_with_gears, iter_draws, random_hall, rules
from tests.advice.halls import long_hall
from tests.advice.test_judge_overload import faithful, gear_choices
from tests.support.mechanism import SHAFT, Part, governor, machine, mechanism, mover

ONE = Fraction(1)


def spent(audit: Audit, spending: Spending = Spending()) -> Spare:  # noqa: B008 (frozen)
    found = spend_power(audit, 0, spending)
    assert isinstance(found, Spare)
    return found


def total(audit: Audit) -> Fraction:
    rpm = (abs(audit.solution.speed_rpm(row) or 0) for row in machine_rows(audit))
    return sum(rpm, Fraction(0))


@pytest.mark.parametrize("seed", range(3))
def test_no_gears_that_the_stages_solve_make_machines_turn_faster_in_sum(seed: int) -> None:
    bettered = 0
    for draw in iter_draws(80 + seed, 12):
        audit = random_hall(
            draw, machines=2, shafts=draw.choice((0, 1)), limit=draw.choice((None, 30))
        )
        if audit.solution.state[0] != State.TURNING or "over-speed" in rules(audit):
            continue
        found = spent(audit, Spending(steps=2, slower=True))
        bench = whole(audit)
        edits = gear_choices(audit, [ratio for ratio in RATIOS if ratio != 1])
        by_joint: dict[object, list[Edit]] = {}
        for edit in edits:
            by_joint.setdefault(edit.joint, []).append(edit)  # type: ignore[union-attr]
        most = total(audit)
        for chosen in product(*([None, *own] for own in by_joint.values())):
            some = [edit for edit in chosen if edit is not None]
            if len(some) > 2:
                continue
            after = bench.audit_after(some)
            if after.solution.state[0] == State.TURNING and "over-speed" not in rules(after):
                most = max(most, total(after) if faithful(audit, after) else most)
        assert found.worth == most == total(found.trial.audits[1])
        assert found.optimum.best
        bettered += most > total(audit)
    assert bettered


def test_more_movers_are_added_first_and_their_power_is_spent() -> None:
    audit = audit_with_gears(mechanism([mover(8, 8), machine(8)], [(0, 1, ONE)]))
    assert spent(audit).worth == 8
    found = spent(audit, Spending(added=((1, "sketch:mover"),)))
    first, *gears = found.trial.edits
    assert isinstance(first, Alongside)
    assert (first.count, len(gears), found.worth, found.left_power) == (1, 1, 16, 0)
    assert found.worth_before == 8


def test_an_overload_is_overcome_by_what_is_added() -> None:
    audit = audit_with_gears(mechanism([mover(8, 8), machine(12)], [(0, 1, ONE)]))
    assert isinstance(spend_power(audit, 0, Spending()), Unspent)
    found = spent(audit, Spending(added=((2, "sketch:mover"),)))
    assert (found.worth_before, found.worth, found.left_power) == (8, 16, 0)


def test_a_heavier_weight_speeds_up_another_machine() -> None:
    parts = [mover(8, 14), machine(8, limit=16), machine(4, limit=12)]
    audit = audit_with_gears(mechanism(parts, [(0, 1, ONE), (0, 2, ONE)]))
    plain = spent(audit)
    assert [turn.spot.at.x for turn in plain.turns if turn.machine] == [2]
    assert plain.worth == 20
    even = spent(audit, Spending(goal="even"))
    assert (even.worth_before, even.worth) == (Fraction(1, 2), Fraction(1, 2))
    assert [spot.at.x for spot in even.held] == [1]
    assert even.optimum.next_power == Fraction(4, 3) * 64 + 32


def test_before_a_governor_that_follows_the_sense_of_turning_stays() -> None:
    parts = [mover(8, 64), SHAFT, SHAFT, governor(4, follows=True), machine(1), machine(4)]
    case = mechanism(
        parts, [(0, 1, ONE), (1, 2, ONE), (2, 3, ONE), (3, 5, ONE)], governed=[(3, 4, ONE)]
    )
    found = spent(audit_with_gears(case))
    before, after = found.trial.audits
    assert found.worth > found.worth_before
    assert before.solution.speed_rpm(4) == after.solution.speed_rpm(4)


@pytest.mark.parametrize(
    ("parts", "couplings", "reason"),
    [
        ([SHAFT, machine(1)], [(0, 1, ONE)], "idle"),
        ([mover(8), mover(-8), machine(1)], [(0, 1, ONE), (1, 2, ONE)], "conflicting"),
        ([mover(8), SHAFT], [(0, 1, ONE)], "no-machine-turns"),
        ([mover(8, 1), machine(2)], [(0, 1, ONE)], "overloaded"),
    ],
)
def test_without_headroom_the_reason_is_told(
    parts: list[Part], couplings: list[tuple[int, int, Fraction]], reason: str
) -> None:
    found = spend_power(audit_with_gears(mechanism(parts, couplings)), 0, Spending())
    assert isinstance(found, Unspent)
    assert found.reason == reason


def test_a_network_too_large_is_said_to_be_so(monkeypatch: pytest.MonkeyPatch) -> None:
    audit = audit_with_gears(mechanism([mover(8), machine(1)], [(0, 1, ONE)]))
    for module, limit in ((best, "MOST_CELLS"), (spend, "MOST_PARTS")):
        monkeypatch.setattr(module, limit, 1)
        found = spend_power(audit, 0, Spending())
        assert isinstance(found, Unspent)
        assert found.reason == "too-large"
        monkeypatch.undo()


def test_a_mover_that_the_network_has_not_cannot_be_added() -> None:
    audit = audit_with_gears(mechanism([mover(8), machine(1)], [(0, 1, ONE)]))
    found = spend_power(audit, 0, Spending(added=((1, "sketch:windmill"),)))
    assert isinstance(found, Unspent)
    assert found.reason == "no-such-mover"


def test_the_networks_with_most_headroom_are_looked_into() -> None:
    count = MOST_NETWORKS + 3
    parts = [part for row in range(count) for part in (mover(8, 8 + row), machine(8))]
    audit = audit_with_gears(
        mechanism(parts, [(2 * row, 2 * row + 1, ONE) for row in range(count)])
    )
    power = spare_power(audit, Spending())
    assert [one.network.anchor.x for one in power.networks] == [
        2 * row for row in range(count - 1, count - 1 - MOST_NETWORKS, -1)
    ]
    assert power.left_out == 2
    assert network_named(audit, "minecraft:overworld:2,64,0") == 1
    with pytest.raises(UsageError, match="no network has this name"):
        network_named(audit, "minecraft:overworld:1,64,0")


@pytest.mark.parametrize("goal", ["throughput", "even"])
def test_ten_thousand_parts_are_answered_within_ten_seconds_with_the_gap(goal: Goal) -> None:
    audit = long_hall(10_000, every=8, torques=5, headroom=Fraction(1, 2))
    begun = time.process_time()
    found = spent(audit, Spending(goal=goal))
    assert time.process_time() - begun < 10
    assert len(audit.parts) >= 9_999
    assert found.worth > 2 * found.worth_before
    assert found.optimum.gap < found.worth / 1000
