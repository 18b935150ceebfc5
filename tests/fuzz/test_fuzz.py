"""A short run of the fuzzer: the same inputs each time, with none that breaks what must hold."""

from __future__ import annotations

import pytest

from analyzer.save.compiled import load
from analyzer.save.sift import known_leads
from tests.fuzz.mutate import Mutator
from tests.fuzz.run import Fuzzing
from tests.fuzz.target import Target
from tests.fuzz.targets import TARGETS

#: Mutated inputs of a target with a share of one: the run takes some ten seconds.
INPUTS = 40


@pytest.fixture(autouse=True)
def _machine_code_as_before(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(load, "_kernel", load._kernel)
    monkeypatch.setattr(load, "_tried", set(load._tried))
    monkeypatch.setattr(known_leads, "_recent", known_leads._recent)


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_nothing_holds_less_of_false_inputs(target: Target) -> None:
    fuzzing = Fuzzing(target, seed=1)
    fuzzing.run_seeds()
    fuzzing.run(INPUTS * target.share)
    assert fuzzing.tally.faults == {}
    # Inputs that all end in one way would show little.
    assert len(fuzzing.tally.outcomes) > 1


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_the_same_seed_makes_the_same_inputs(target: Target) -> None:
    seeds = target.seeds()
    one, other = seeds[0], seeds[-1]
    made = [target.mutate(Mutator(3), one, other) for _ in range(2)]
    assert made[0] == made[1]
    assert any(target.mutate(Mutator(seed), one, other) != one for seed in range(9))
