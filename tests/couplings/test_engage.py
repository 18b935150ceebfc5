"""Guards: both parts' switches must be in the state that a coupling needs."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from analyzer.couplings.engage import engaged
from tests.support.mechanism import couplings_table

STATES = list(itertools.product((-1, 0, 1), repeat=2))


@pytest.mark.parametrize("states", STATES)
def test_a_coupling_is_engaged_where_each_side_needs_nothing_or_its_own_state(states):
    rows = len(STATES)
    guards = [np.array([guard[side] for guard in STATES], np.int8) for side in (0, 1)]
    table = couplings_table([(0, 1, 1)] * rows, governed=[(0, 1, 1)] * rows)
    table = replace(
        table,
        guard_a=guards[0],
        guard_b=guards[1],
        governed=replace(table.governed, guard_part=guards[0], guard_other=guards[1]),
    )
    expected = [
        all(need in (-1, state) for need, state in zip(guard, states, strict=True))
        for guard in STATES
    ]
    mask = engaged(table, np.array(states, np.int8))
    assert mask.couplings.tolist() == expected
    assert mask.governed.tolist() == expected
