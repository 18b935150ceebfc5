"""The fewest throws that add up to enough, held against all combinations."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import product

import pytest

from analyzer.switching import fewest
from analyzer.switching.fewest import FewestThrows

F = Fraction


def draw(chance: random.Random) -> tuple[list[list], Fraction]:
    loads, key = [], 0
    for _ in range(chance.randrange(0, 5)):
        levers = range(key, key + chance.randrange(1, 3))
        key = levers.stop
        states = [
            tuple((lever, one) for lever, one in zip(levers, way, strict=True) if one)
            for way in product(range(chance.choice((2, 3))), repeat=len(levers))
        ]
        kept = [state for state in states if chance.random() < 0.8] or states[-1:]
        kept.sort(key=lambda state: (len(state), state))
        loads.append(
            [(state, F(chance.randrange(0, 9), chance.choice((1, 2, 3)))) for state in kept]
        )
    return loads, F(chance.randrange(-2, 20), chance.choice((1, 2)))


def brute(loads: list[list], spare: Fraction) -> list[tuple[tuple, Fraction]]:
    """Return every choice that suffices, the best first, with what it asks for."""
    found = []
    for way in product(*loads):
        total = sum((amount for _, amount in way), F(0))
        if total > spare:
            found.append((tuple(sorted(item for state, _ in way for item in state)), total))
    return sorted(found, key=lambda one: (len(one[0]), one[0]))


@pytest.mark.parametrize("seed", range(4))
def test_the_first_of_the_fewest_is_that_of_all_combinations(seed, monkeypatch):
    enough = 0
    for number in range(500):
        loads, spare = draw(random.Random(1000 * seed + number))
        wanted = brute(loads, spare)
        search = FewestThrows(loads, spare)
        count = search.count()
        assert count == (len(wanted[0][0]) if wanted else None)
        if count is None:
            continue
        enough += 1
        assert search.first() == wanted[0][0]
        assert FewestThrows(loads, spare).count(count - 1) is None
        monkeypatch.setattr(fewest, "_MOST_SUMS", 0)
        search = FewestThrows(loads, spare)
        search.count()
        greatest = max(total for state, total in wanted if len(state) == count)
        assert (search.first(), greatest) in wanted
        monkeypatch.undo()
    assert enough > 150


def test_equal_is_not_enough():
    loads = [[((), F(0)), (((0, 1),), F(2))], [((), F(0)), (((1, 1),), F(3))]]
    assert FewestThrows(loads, F(5)).count() is None
    assert FewestThrows(loads, F(9, 2)).count() == 2


def test_thousands_of_pieces_add_up_at_once():
    loads = [[((), F(0)), (((key, 1),), F(1 + key % 7))] for key in range(3000)]
    search = FewestThrows(loads, F(4000))
    assert search.count() == 428 + (4000 - 428 * 7) // 6 + 1
    assert len(search.first()) == search.count()
