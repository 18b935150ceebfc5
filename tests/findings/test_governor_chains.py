"""Chains that show clashes of governors where a shorter way would mislead or ends nowhere."""

from __future__ import annotations

from analyzer.base.place import Block
from analyzer.parts.parts import Rejected
from tests.findings.judged import SHAFTED, judge_by
from tests.support.mechanism import SHAFT, at, audit_of, governor, machine, mechanism, mover

clash = judge_by("governor-conflict")


def test_no_way_leads_through_the_other_governor_to_its_own_port() -> None:
    # Governor 1 sets the zone of parts 2 to 6; governor 3 lies in it, and its port meets part 4.
    parts = [mover(8), governor(16), SHAFT, governor(5), SHAFT, SHAFT, SHAFT]
    couplings = [(0, 1, 1), (2, 3, 1), (3, 4, 1), (2, 5, 1), (5, 6, 1), (4, 6, 1)]
    (found,) = clash(parts, couplings, governed=[(1, 2, SHAFTED), (3, 4, SHAFTED)])
    assert found.witness is not None
    assert found.witness.parts == at(1, 2, 5, 6, 4, 3)
    assert found.witness.governed == (0, 4)


def test_a_governor_driven_by_the_port_of_another_is_on_their_loop() -> None:
    # Governor 1 turns governor 2 alone, which stops the mover's zone.
    parts = [mover(8), governor(4), governor(0)]
    (found,) = clash(parts, [(0, 1, SHAFTED)], governed=[(1, 2, SHAFTED), (2, 0, SHAFTED)])
    assert found.witness is not None
    assert (found.witness.kind, found.witness.parts) == ("loop", at(1, 2, 0))


def test_a_part_from_which_nothing_leads_on_is_passed_over() -> None:
    # The first governor's rim meets part 2, from which nothing leads on, and governor 3.
    parts = [mover(8), governor(4), SHAFT, governor(0)]
    governed = [(1, 2, SHAFTED), (1, 3, SHAFTED), (3, 0, SHAFTED)]
    (found,) = clash(parts, [(0, 1, SHAFTED)], governed=governed)
    assert found.witness is not None
    assert found.witness.parts == at(1, 3, 0)


def test_what_is_found_about_a_dimension_comes_before_its_networks() -> None:
    rejected = Rejected(0, Block(9, 64, 9), "not-understood", "sketch:part", "a property")
    case = mechanism([mover(8), machine(1000)], [(0, 1, SHAFTED)], rejected=[rejected])
    rules = [one.rule for one in audit_of(case).findings.items]
    assert rules == ["not-understood", "overload"]
