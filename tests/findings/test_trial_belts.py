"""Trials of belts whose pulleys reverse them, and by whose word a belt stands."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from analyzer.catalogue.catalogue import ByProperty, Link, Port, Switch
from analyzer.findings.trial.trial import Entry
from analyzer.parts.parts import Links
from tests.findings.test_trial import copies, entries, tried
from tests.findings.trial_worlds import one, part_type

ON = ByProperty("on", (("no", Fraction(0)), ("yes", Fraction(1))))
FLIPPER = part_type(
    "flipper", link=Link(False, one(1), None), switch=Switch("reverser", (Port.LINK,), ON)
)
CROSSED = part_type("crossed", link=Link(True, one(1), None))
OPEN = part_type("open", link=Link(False, one(1), None))
BELTS = 20


def belts(below: str, above: str, rpm: int, *, stored_above: bool = False):
    """Belts from pulleys at 8 rpm to those three above, and where each is stored."""
    blocks = copies(BELTS, (below, (0, 0, 0), 8), (above, (0, 3, 0), rpm))
    # Sorted by position, all pulleys below come before those above.
    first, height = (BELTS, 0) if stored_above else (0, 3)
    towards = np.array([(0, height, 10 * number) for number in range(BELTS)], np.int64)
    return blocks, Links(np.arange(first, first + BELTS, dtype=np.int32), towards)


def tried_belts(*args, **more):
    blocks, links = belts(*args, **more)
    return tried([FLIPPER, CROSSED, OPEN], blocks, links=links)


@pytest.mark.parametrize("stored_above", [False, True])
@pytest.mark.parametrize("turned_round", [False, True])
@pytest.mark.parametrize(("on", "sense"), [("no", 1), ("yes", -1)])
@pytest.mark.parametrize("other", ["open", "crossed"])
def test_a_belt_over_a_pulley_that_reverses_it_agrees_or_is_told(
    stored_above, turned_round, on, sense, other
):
    flipper, plain = f"flipper[axis=x,on={on}]", f"{other}[axis=x]"
    below, above = (plain, flipper) if turned_round else (flipper, plain)
    # The pulley that stores the belt says whether it is crossed.
    storer = above if stored_above else below
    right = 8 * sense * (-1 if storer.startswith("crossed") else 1)
    trial = tried_belts(below, above, right, stored_above=stored_above)
    assert (trial.pairs, trial.agreed, trial.suspects) == (BELTS, BELTS, ())
    trial = tried_belts(below, above, -right, stored_above=stored_above)
    (suspects,) = entries(trial)
    name = f"sketch:{storer.partition('[')[0]}"
    assert Entry(name, "crossed") in suspects
    assert {entry.type for entry in suspects if entry.charge == "crossed"} == {name}
