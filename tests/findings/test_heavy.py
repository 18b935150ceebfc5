"""Networks that are large: parts, chunks and switches below, on and above their limits."""

from __future__ import annotations

import pytest

from analyzer.base.policy import Level, Policy
from analyzer.catalogue.catalogue import Warnings
from tests.findings.judged import judge_by, row
from tests.support.mechanism import SHAFT, Part, at

heavy = judge_by("heavy-network")
SMALL = Warnings(heavy_parts=40, heavy_chunks=3, heavy_switches=2)


@pytest.mark.parametrize(("parts", "names"), [(39, ()), (40, ()), (41, (("parts", 41),))])
def test_a_network_may_have_as_many_parts_as_its_limit(parts: int, names: tuple[object]) -> None:
    # A chunk holds sixteen of them, so 41 stand in three.
    found = heavy(*row(*[SHAFT] * parts), warnings=[SMALL])
    assert [(one.names, one.measured, one.limit, one.unit) for one in found] == [
        (names, 41, 40, "parts")
    ] * bool(names)


@pytest.mark.parametrize(("parts", "names"), [(48, ()), (49, (("chunks", 4),))])
def test_a_network_may_span_as_many_chunks_as_its_limit(parts: int, names: tuple[object]) -> None:
    limits = Policy(heavy_parts=1000)
    found = heavy(*row(*[SHAFT] * parts), warnings=[SMALL], policy=limits)
    assert [(one.names, one.measured, one.limit, one.unit) for one in found] == [
        (names, 4, 3, "chunks")
    ] * bool(names)


@pytest.mark.parametrize(("switches", "found"), [(1, []), (2, []), (3, [(("switches", 3),)])])
def test_a_network_may_have_as_many_switches_as_its_limit(
    switches: int, found: list[object]
) -> None:
    line = row(SHAFT, *[Part(switch=True)] * switches)
    assert [one.names for one in heavy(*line, warnings=[SMALL])] == found


def test_the_most_crowded_chunks_are_the_places() -> None:
    # 3 parts in the first chunk, 16 in each of the next two, 9 in the last.
    parts = [Part(dimension="a:a")] * 13 + [SHAFT] * 44
    couplings = [(i, i + 1, 1) for i in range(13, 56)]
    (found,) = heavy(parts, couplings, warnings=[SMALL])
    assert (found.at, found.also) == (at(16)[0], at(32, 48, 13))
    assert (found.count, found.names) == (4, (("parts", 44), ("chunks", 4)))
    # 4 of 3 chunks is farther above than 44 of 40 parts.
    assert (found.measured, found.limit, found.unit) == (4, 3, "chunks")
    assert (found.level, found.certain) == (Level.WARNING, "yes")


def test_of_several_catalogues_the_least_limit_counts_where_its_parts_are() -> None:
    line = row(*[SHAFT] * 41)
    assert heavy(*line, warnings=[Warnings(), SMALL]) == ()
    mixed = row(*[SHAFT] * 40, Part(strict=True))
    assert len(heavy(*mixed, warnings=[Warnings(), SMALL])) == 1


def test_the_users_limits_stand_in_place_of_the_catalogues() -> None:
    line = row(*[SHAFT] * 41)
    limits = {"heavy_parts": 41, "heavy_chunks": 3, "heavy_switches": 0}
    assert heavy(*line, warnings=[Warnings(heavy_parts=1)], policy=Policy(**limits)) == ()
    (found,) = heavy(*line, policy=Policy(heavy_chunks=2))
    assert found.names == (("chunks", 3),)


def test_a_heavy_network_stands_in_a_cut_network() -> None:
    (found,) = heavy(*row(*[SHAFT] * 41), warnings=[SMALL], cut=[0])
    assert (found.level, found.certain) == (Level.WARNING, "yes")
