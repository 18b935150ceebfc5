"""A thousand catalogues with one error each, tried by worlds that record the right speeds."""

from __future__ import annotations

import random

import pytest

from analyzer.findings.trial.trial import ENOUGH_PAIRS, Entry, Trial
from tests.findings.trial_errors import Error, errors_of, may_show, shown
from tests.findings.trial_worlds import World, random_world

#: Trials of each of the parts that the thousand is done in.
TRIALS = 250
FLOAT, DOUBLE = 5, 6


@pytest.mark.parametrize("part", range(4))
def test_the_entry_with_the_one_error_is_named_and_no_other_accused(part: int) -> None:
    rng = random.Random(f"trials {part}")
    tried: dict[str, int] = {}
    while sum(tried.values()) < TRIALS:
        world = random_world(rng, tag=rng.choice([FLOAT, DOUBLE]))
        _expect_acquittal(world)
        for error in errors_of(rng, world.catalogues):
            if may_show(world, error) < ENOUGH_PAIRS or sum(tried.values()) == TRIALS:
                continue
            wrong = world.solve(error.catalogues)
            if shown(world, error, wrong) < ENOUGH_PAIRS:
                continue
            _expect_conviction(world.judge(wrong), error)
            tried[error.charge] = tried.get(error.charge, 0) + 1
    # Each kind of error has its share.
    assert min(tried.get(charge, 0) for charge in ("factor", "teeth", "no-end", "no-rim")) >= 10


def _expect_acquittal(world: World) -> None:
    trial = world.judge(world.solved)
    assert trial.describes
    assert (trial.suspects, trial.in_step, trial.types) == ((), (), ())
    assert trial.agreed == trial.pairs >= ENOUGH_PAIRS


def _expect_conviction(trial: Trial, error: Error) -> None:
    assert trial.describes is False
    (suspect,) = trial.suspects
    assert suspect.proven
    (entry,) = [one for one in suspect.entries if _is(one, error)]
    assert error.right is None or entry.fits == error.right
    # Two pulleys that meet nothing but each other's belts cannot be told apart, and are named so.
    alike = {(one.charge, one.type) for one in suspect.entries}
    assert len(alike) == 1 or {charge for charge, _ in alike} == {"diameter"}


def _is(entry: Entry, error: Error) -> bool:
    same = (entry.type, entry.charge) == (error.type, error.charge)
    return same and error.port in ("", entry.port)
