"""Why parts turn as they do, on mechanisms written down by hand."""

from __future__ import annotations

from fractions import Fraction

from analyzer.findings.case import Case
from analyzer.findings.explain.explain import explain_part
from analyzer.findings.explain.explanation import DriveChain, Explanation
from tests.support.mechanism import SHAFT, audit_of, governor, machine, mechanism, mover

ONE = Fraction(1)


def explained(case: Case, part: int) -> Explanation:
    return explain_part(audit_of(case), part)


def parts_of(chain: DriveChain) -> list[int]:
    return [step.part for step in chain.steps]


def speeds_of(chain: DriveChain) -> list[Fraction | None]:
    return [step.rpm for step in chain.steps]


def test_a_driven_part_has_one_chain_from_the_leading_mover() -> None:
    case = mechanism([mover(8), SHAFT, machine(8)], [(0, 1, ONE), (1, 2, Fraction(-3, 2))])
    told = explained(case, 2)
    (chain,) = told.chains
    assert told.cause == "driven"
    assert parts_of(chain) == [0, 1, 2]
    assert [step.ratio for step in chain.steps] == [None, 1, Fraction(-3, 2)]
    assert speeds_of(chain) == [8, 8, -12]
    assert told.power == 96


def test_a_chain_against_the_order_of_parts_has_the_inverse_ratios() -> None:
    case = mechanism([SHAFT, SHAFT, mover(8)], [(0, 1, 2), (1, 2, -1)])
    (chain,) = explained(case, 0).chains
    assert parts_of(chain) == [2, 1, 0]
    assert [step.ratio for step in chain.steps[1:]] == [-1, Fraction(1, 2)]
    assert speeds_of(chain) == [8, -8, -4]


def test_the_chain_is_the_shortest_one() -> None:
    ring = [(0, 1, ONE), (1, 2, ONE), (2, 3, ONE), (0, 3, ONE)]
    (chain,) = explained(mechanism([mover(8), SHAFT, SHAFT, SHAFT], ring), 3).chains
    assert parts_of(chain) == [0, 3]


def test_the_fastest_mover_leads_and_a_slower_one_is_not_in_the_chain() -> None:
    case = mechanism([mover(4), SHAFT, SHAFT, mover(8)], [(0, 1, ONE), (1, 2, ONE), (2, 3, ONE)])
    (chain,) = explained(case, 1).chains
    assert parts_of(chain) == [3, 2, 1]
    assert explained(case, 0).power == 128, "a dragged mover still gives its rating"


def test_the_chain_to_a_mover_that_leads_is_itself() -> None:
    (chain,) = explained(mechanism([mover(8)]), 0).chains
    assert parts_of(chain) == [0]
    assert chain.head.kind is None


def test_a_governed_part_is_led_by_the_mover_behind_the_governor() -> None:
    case = mechanism([mover(8), governor(5), SHAFT], [(0, 1, ONE)], governed=[(1, 2, 2)])
    (chain,) = explained(case, 2).chains
    assert parts_of(chain) == [0, 1, 2]
    assert speeds_of(chain) == [8, 8, 10]
    assert (chain.end.ratio, chain.end.sets_rpm) == (None, 5)


def test_governors_that_drive_one_another_round_end_the_chain_where_they_meet() -> None:
    # A mover turns part 0; governor 1 drives 2 and 3; governor 3 drives part 0 in turn.
    case = mechanism(
        [mover(8), governor(4), SHAFT, governor(8)],
        [(0, 1, ONE), (2, 3, ONE)],
        governed=[(1, 2, ONE), (3, 0, ONE)],
    )
    told = explained(case, 2)
    assert told.cause == "driven"
    assert parts_of(told.chains[0]) == [1, 0, 1, 2] or parts_of(told.chains[0])[-2:] == [1, 2]
    assert speeds_of(told.chains[0])[-1] == 4


def test_an_overloaded_part_says_what_it_would_turn_at() -> None:
    case = mechanism([mover(8, 1), machine(8)], [(0, 1, ONE)])
    told = explained(case, 1)
    assert told.cause == "overloaded"
    assert speeds_of(told.chains[0]) == [8, 8]
    assert [finding.rule for finding in told.findings] == ["overload"]


def test_a_loop_gives_two_chains_that_disagree_about_the_part() -> None:
    ring = [(0, 1, ONE), (1, 2, 2), (2, 3, ONE), (1, 3, 3)]
    told = explained(mechanism([mover(8), SHAFT, SHAFT, SHAFT], ring), 3)
    assert told.cause == "loop"
    ends = {(chain.head.part, chain.end.part, chain.end.rpm) for chain in told.chains}
    assert ends == {(0, 3, 16), (0, 3, 24)}


def test_beyond_a_loop_both_chains_go_on_to_the_part() -> None:
    ring = [(0, 1, ONE), (1, 2, 2), (2, 3, ONE), (1, 3, 3), (3, 4, 10)]
    told = explained(mechanism([mover(8), *[SHAFT] * 4], ring), 4)
    assert {chain.end.rpm for chain in told.chains} == {160, 240}
    assert {chain.end.part for chain in told.chains} == {4}


def test_a_part_before_the_loop_is_shown_where_the_loop_disagrees() -> None:
    ring = [(0, 1, ONE), (1, 2, 2), (2, 3, ONE), (1, 3, 3)]
    told = explained(mechanism([mover(8), SHAFT, SHAFT, SHAFT], ring), 0)
    first, second = told.chains
    assert first.head.part == second.head.part == 0
    assert first.end.part == second.end.part != 0
    assert first.end.rpm != second.end.rpm


def test_a_loop_without_a_mover_disagrees_in_ratios() -> None:
    ring = [(0, 1, 2), (1, 2, ONE), (0, 2, 3)]
    first, second = explained(mechanism([SHAFT] * 3, ring), 1).chains
    assert first.head.part == second.head.part
    assert first.end.part == second.end.part == 1

    def product(chain: DriveChain) -> Fraction:
        result = ONE
        for step in chain.steps[1:]:
            assert step.ratio is not None
            result *= step.ratio
        return result

    assert product(first) != product(second)
    assert speeds_of(first)[-1] is None


def test_a_pair_coupled_twice_is_a_loop_of_two_chains() -> None:
    told = explained(mechanism([mover(8), SHAFT], [(0, 1, 2), (0, 1, 3)]), 1)
    assert {chain.end.rpm for chain in told.chains} == {16, 24}


def test_opposed_movers_give_a_chain_from_each() -> None:
    case = mechanism([mover(8), SHAFT, mover(-8)], [(0, 1, ONE), (1, 2, ONE)])
    told = explained(case, 1)
    assert told.cause == "movers"
    assert [(chain.head.part, chain.end.rpm) for chain in told.chains] == [(0, 8), (2, -8)]


def test_of_many_movers_the_nearest_two_that_contradict_each_other_are_shown() -> None:
    row = [(number, number + 1, ONE) for number in range(4)]
    case = mechanism([mover(-8), mover(8), SHAFT, mover(16), SHAFT], row)
    heads = [chain.head.part for chain in explained(case, 4).chains]
    assert heads == [3, 0]


def test_strict_movers_of_one_sense_disagree_in_speed() -> None:
    case = mechanism([mover(8, strict=True), SHAFT, mover(4, strict=True)], [(0, 1, 1), (1, 2, 1)])
    told = explained(case, 1)
    assert [chain.end.rpm for chain in told.chains] == [8, 4]


def test_two_governors_of_one_zone_give_a_chain_from_each() -> None:
    parts = [mover(8), governor(16), SHAFT, governor(24)]
    case = mechanism(parts, [(0, 1, ONE), (0, 3, ONE)], governed=[(1, 2, ONE), (3, 2, ONE)])
    told = explained(case, 2)
    assert told.cause == "governors"
    assert [(chain.head.part, chain.end.rpm) for chain in told.chains] == [(1, 16), (3, 24)]
    behind = explained(case, 0)
    assert {chain.end.part for chain in behind.chains} == {2}, "the conflict is elsewhere"


def test_a_governor_that_contradicts_itself_gives_the_one_chain_round() -> None:
    case = mechanism([mover(8), governor(16)], [(0, 1, ONE)], governed=[(1, 0, ONE)])
    (chain,) = explained(case, 0).chains
    assert parts_of(chain) == [1, 0, 1]


def test_a_mover_against_a_governor_gives_a_chain_from_each() -> None:
    parts = [mover(8), governor(16), SHAFT, mover(-4)]
    case = mechanism(parts, [(0, 1, ONE), (2, 3, ONE)], governed=[(1, 2, ONE)])
    told = explained(case, 2)
    assert told.cause == "movers"
    assert [(chain.head.part, chain.end.rpm) for chain in told.chains] == [(1, 16), (3, -4)]


def test_a_part_held_by_a_governor_says_so() -> None:
    case = mechanism([mover(8), governor(0), machine(8)], [(0, 1, ONE)], governed=[(1, 2, ONE)])
    told = explained(case, 2)
    assert told.cause == "held"
    assert parts_of(told.chains[0]) == [0, 1, 2]
    assert told.power == 0


def test_nothing_passes_backward_through_a_governor() -> None:
    case = mechanism(
        [SHAFT, governor(8), SHAFT, mover(4)], [(0, 1, 1), (2, 3, 1)], governed=[(1, 2, 1)]
    )
    told = explained(case, 0)
    assert (told.cause, told.chains) == ("not reached", ())


def test_the_nearest_mover_that_does_not_drive_would() -> None:
    row = [(number, number + 1, ONE) for number in range(3)]
    case = mechanism([mover(0), SHAFT, SHAFT, mover(0)], row)
    told = explained(case, 1)
    assert told.cause == "no mover"
    (driver,) = told.drivers
    assert (driver.kind, driver.part, driver.squared) == ("mover", 0, 1)
    assert [step.part for step in driver.chain] == [0, 1]


def test_a_mover_behind_a_governor_would_drive_what_the_governor_drives() -> None:
    case = mechanism([mover(0), governor(8), SHAFT], [(0, 1, ONE)], governed=[(1, 2, ONE)])
    (driver,) = explained(case, 2).drivers
    assert [step.part for step in driver.chain] == [0, 1, 2]


def test_the_nearest_part_that_turns_would_drive_if_it_were_coupled() -> None:
    case = mechanism([SHAFT, SHAFT, mover(8), SHAFT, mover(8)], [(2, 3, ONE)])
    (driver,) = explained(case, 0).drivers
    assert (driver.kind, driver.part, driver.squared, driver.chain) == ("turning part", 2, 4, ())


def test_where_nothing_turns_nothing_would_drive() -> None:
    assert explained(mechanism([SHAFT, SHAFT]), 0).drivers == ()


def test_a_part_out_of_range_has_a_chain_and_no_speed() -> None:
    row = [(number, number + 1, Fraction(2)) for number in range(300)]
    told = explained(mechanism([mover(8), *[SHAFT] * 300], row), 300)
    assert told.cause == "out of range"
    assert len(told.chains[0].steps) == 301
    assert told.power is None
