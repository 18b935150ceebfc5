"""Spare power is a knapsack: machines that turn twice as fast for what each then asks more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import pytest

from analyzer.advice.spare import settle
from analyzer.advice.spare.networks import spare_power
from analyzer.advice.spare.spare import Spare, Spending
from analyzer.catalogue.catalogue import Catalogues
from analyzer.findings.audit import Audit
from tests.advice.builds import gear_type
from tests.outside.knapsacks import BURKARDT, LOW, PISINGER, Knapsack
from tests.support.check import Check, Evidence, Source, checked
from tests.support.mechanism import Part, audit_of, machine, mechanism, mover

SUBJECT = "Spending power: knapsacks"
DATA = Source(
    Evidence.PUBLISHED,
    "J. Burkardt, KNAPSACK_01, Data for the 01 Knapsack Problem; P01 is also problem 4 of S. "
    "Martello and P. Toth, Algorithm 632, ACM TOMS 11 (1985) 135-140",
    "netlib.org/toms-2014-06-10/632",
)
MARTELLO = Source(
    Evidence.PUBLISHED,
    "output of S. Martello and P. Toth's programs MT1 and MT2 as kept by J. Burkardt, "
    "knapsack_prb_output.txt",
    "github.com/johannesgerer/jburkardt-f77",
)
COPY = Source(
    Evidence.PUBLISHED,
    "instances and optima kept by ttowzg, KnapsackProblem",
    "github.com/ttowzg/KnapsackProblem",
)
WHY = (
    "exact numbers on both sides; an item is a machine whose speed is its profit and whose demand "
    "is its weight, and packing it doubles its speed"
)
CHECKS = {
    key: Check(
        SUBJECT,
        key,
        f"{len(sack.weights)} items, capacity {sack.capacity:,}",
        f"{sack.optimum}" + (f", packed {sack.packed}" if sack.packed else ""),
        MARTELLO if key == "E5" else DATA,
        why=WHY,
    )
    for key, sack in BURKARDT.items()
}
E13 = Check(
    SUBJECT,
    "E13",
    "ten instances of 4 to 23 items, one with decimals",
    "295, 1024, 35, 23, 481.0694, 52, 107, 9767, 130, 1025",
    COPY,
    tolerance="none; 481.0694 to the digits printed",
    why=WHY,
)
FAMILIES = Check(
    SUBJECT,
    "E14",
    "a hundred items unrelated, a hundred near, a hundred and two hundred of weight plus 100",
    "9147, 1514, 2397, 2697",
    COPY,
    why=WHY + "; the generator is D. Pisinger's; the items of the last two are drawn from the same "
    "numbers as the first",
)
STEPS = Spending(steps=1)


def geared(parts: list[Part], couplings: list[tuple[int, int, Fraction | int]]) -> Audit:
    """Build a drive with gears that halve and double in its catalogue."""
    case = mechanism(parts, couplings)
    catalogues = case.parts.catalogues
    types = (*catalogues.types, gear_type(12), gear_type(24))
    parted = replace(case.parts, catalogues=Catalogues(catalogues.sources, types))
    return audit_of(replace(case, parts=parted))


def shop(sack: Knapsack) -> Audit:
    """Build a mover with a machine an item, and a catalogue with one useful pair of gears."""
    parts: list[Part] = [mover(1, torque=sack.capacity + sum(sack.weights))]
    couplings: list[tuple[int, int, Fraction | int]] = []
    for number, (weight, profit) in enumerate(zip(sack.weights, sack.profits, strict=True), 1):
        parts.append(machine(weight / profit))
        couplings.append((0, number, profit))
    return geared(parts, couplings)


def packed(sack: Knapsack, spare: Spare) -> str:
    """Return which machines turn faster, as ones and noughts."""
    faster = {turn.spot.at.x for turn in spare.turns if turn.machine}
    return "".join(str(int(number in faster)) for number in range(1, len(sack.weights) + 1))


def _instances() -> Iterator[object]:
    for key, sack in BURKARDT.items():
        yield pytest.param(sack, marks=checked(CHECKS[key]), id=key)
    for key, sack in LOW.items():
        yield pytest.param(sack, marks=checked(E13), id=key)
    for key, sack in PISINGER.items():
        yield pytest.param(sack, marks=checked(FAMILIES), id=key)


@pytest.mark.parametrize("by", ["looking", "program"])
@pytest.mark.parametrize("sack", list(_instances()))
def test_as_much_speed_is_gained_as_the_source_says_there_is_profit(
    sack: Knapsack, by: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if by == "program":
        monkeypatch.setattr(settle, "WORK", 0)
    (spare,) = spare_power(shop(sack), STEPS, 0).networks
    assert isinstance(spare, Spare)
    gained = spare.worth - spare.worth_before
    assert sack.optimum in (gained, round(gained, 4))
    assert spare.optimum.best or by == "program"
    if sack.packed is not None:
        assert packed(sack, spare) == sack.packed
    weight = sum(
        one for one, bit in zip(sack.weights, packed(sack, spare), strict=True) if bit == "1"
    )
    assert spare.left_power == sack.capacity - weight


COMMON = Source(Evidence.COMMON, "the power a machine asks for grows with its speed")
DOUBLED = Check(
    "Spending power: common practice",
    "SP1",
    "movers of 256 and 256, a torque of 8 at 32 rpm and one of 4 at 32 rpm",
    "the second machine is doubled, which leaves 0",
    COMMON,
)
UP_TO = Check(
    "Spending power: common practice",
    "SP2",
    "a torque of 1 at 32 rpm on a capacity of 512, with a limit of 256 rpm",
    "256 rpm, no further, which leaves 256",
    COMMON,
)


@checked(DOUBLED)
@pytest.mark.parametrize("slower", [False, True])
def test_the_lighter_of_two_machines_is_doubled(slower: bool) -> None:
    parts = [mover(32, torque=8), mover(32, torque=8), machine(8), machine(4)]
    audit = geared(parts, [(0, 1, 1), (1, 2, 1), (1, 3, 1)])
    (spare,) = spare_power(audit, Spending(slower=slower), 0).networks
    assert isinstance(spare, Spare)
    (turn,) = (turn for turn in spare.turns if turn.machine)
    assert (turn.spot.at.x, abs(turn.before_rpm), abs(turn.after_rpm)) == (3, 32, 64)
    assert (spare.left_power, spare.worth, spare.optimum.best) == (0, 96, True)


@checked(UP_TO)
@pytest.mark.parametrize("goal", ["throughput", "even"])
def test_a_single_machine_is_brought_to_its_limit_and_no_further(goal: str) -> None:
    shaft = Part(limit=256)
    parts = [mover(32, torque=16, limit=256), shaft, shaft, shaft, machine(1, limit=256)]
    audit = geared(parts, [(0, 1, 1), (1, 2, 1), (2, 3, 1), (3, 4, 1)])
    (spare,) = spare_power(audit, Spending(goal=goal, steps=4), 0).networks  # type: ignore[arg-type]
    assert isinstance(spare, Spare)
    (turn,) = (turn for turn in spare.turns if turn.machine)
    assert (abs(turn.after_rpm), spare.left_power) == (256, 256)
    assert spare.optimum.best
    assert len(spare.trial.edits) == 3
