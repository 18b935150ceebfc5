"""What findings say in detail: units, which place comes first, and what keeps them apart."""

from __future__ import annotations

import hashlib
from fractions import Fraction
from pathlib import Path

import pytest

from analyzer import audit_save
from analyzer.base.place import Block
from analyzer.base.policy import Level, Policy
from analyzer.catalogue.load import load_catalogue_text
from analyzer.demo.content import place
from analyzer.findings.make import fingerprint_of
from tests.catalogue.texts import HEAD
from tests.findings.judged import SHAFTED, judge_by
from tests.support.mechanism import SHAFT, at, governor, machine, mover
from tests.support.saves import save_of

RATED = judge_by("unequal-movers")
MOVERS = judge_by("mover-conflict")


def test_a_fingerprint_is_a_hash_of_rule_dimension_and_sorted_places_a_line_each() -> None:
    text = "overload\nsea\n-3,64,20\n3,64,-20\nquay"
    expected = hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]
    places = [Block(3, 64, -20), Block(-3, 64, 20)]
    assert fingerprint_of("overload", "sea", places, "quay") == expected
    assert fingerprint_of("overload", "sea", places) != expected


def test_a_dimension_whose_name_is_no_text_has_a_fingerprint_too() -> None:
    assert len(fingerprint_of("overload", "\udc80", ())) == 16


def test_a_mover_against_a_governor_is_measured_in_rpm() -> None:
    parts = [mover(8), governor(16), SHAFT, mover(-4)]
    (found,) = MOVERS(parts, [(0, 1, SHAFTED), (2, 3, SHAFTED)], governed=[(1, 2, SHAFTED)])
    assert found.unit == "rpm"


def test_of_movers_that_a_governor_slows_the_one_that_loses_most_comes_first() -> None:
    parts = [mover(8), governor(2), mover(4), mover(8), mover(3), machine()]
    couplings = [(0, 1, SHAFTED), (2, 3, SHAFTED), (3, 4, SHAFTED), (4, 5, SHAFTED)]
    (found,) = RATED(parts, couplings, governed=[(1, 2, SHAFTED)])
    assert (found.at, found.also, found.count) == (at(3)[0], (*at(2), *at(4)), 3)
    assert (found.measured, found.limit) == (2, 8)


def test_movers_that_gain_and_lose_as_much_are_told_in_a_fixed_order() -> None:
    # Slowed from 8 to 4 and from 12 to 8: the smaller speed comes first.
    parts = [mover(8), governor(4), mover(8), mover(6), SHAFT]
    couplings = [(0, 1, SHAFTED), (2, 3, Fraction(1, 2)), (3, 4, SHAFTED)]
    (found,) = RATED(parts, couplings, governed=[(1, 2, SHAFTED)])
    # Mover 2 turns at 4 in place of 8, mover 3 at 2 in place of 6.
    assert (found.at, found.measured, found.limit) == (at(3)[0], 2, 6)


HALVES = """
[parts."q:wheel"]
role = "mover"
entity = ["q:wheel"]
only = {half = ["lower"]}
pose = {facing = "facing"}
rated_rpm = 8
torque = 32
"""


@pytest.mark.parametrize(("half", "told"), [("half=lower,", 1), ("half=upper,", 0), ("", 1)])
def test_a_block_that_does_not_say_which_half_it_is_may_be_the_one_with_a_record(
    tmp_path: Path, half: str, told: int
) -> None:
    save = save_of(tmp_path, [place((4, 64, 4), f"q:wheel[{half}facing=east]", None)])
    # Only a chunk that was read whole shows blocks without a record.
    audit = audit_save(
        save, catalogues=load_catalogue_text(HEAD + HALVES, "q.toml"), every_byte=True
    )
    found = [one for one in audit.findings.items if one.rule == "record-missing"]
    assert [(one.at, one.names) for one in found] == [
        (Block(4, 64, 4), (("q:wheel", 1),)) for _ in range(told)
    ]


@pytest.mark.parametrize(
    ("rule", "parts"),
    [
        ("too-slow", [mover(2), machine(least=4)]),
        ("overload", [mover(8), machine(1000)]),
        ("undriven-machines", [SHAFT, machine()]),
        ("thin-headroom", [mover(1, 100), machine(95)]),
        ("driving-nothing", [mover(8), SHAFT]),
    ],
)
def test_what_rests_on_a_budget_is_a_note_in_a_cut_network_whatever_its_level(rule, parts) -> None:
    judge = judge_by(rule)
    levels = Policy(levels={rule: Level.ERROR})
    (whole,) = judge(parts, [(0, 1, SHAFTED)], policy=levels)
    (cut,) = judge(parts, [(0, 1, SHAFTED)], policy=levels, cut=[0])
    assert (whole.level, whole.certain) == (Level.ERROR, "yes")
    assert (cut.level, cut.certain) == (Level.NOTE, "as far as read")


@pytest.mark.parametrize(
    ("rule", "pair"),
    [
        ("out-of-range", [(mover(8), SHAFT), Fraction(2) ** 300]),
        ("loop-conflict", None),
        ("mover-conflict", [(mover(8), mover(-8)), SHAFTED]),
    ],
)
def test_a_network_that_is_asked_about_is_judged_after_one_that_is_not(rule, pair) -> None:
    judge = judge_by(rule)
    if pair is None:
        parts = [SHAFT] * 4
        couplings = [(0, 1, 1), (0, 1, 2), (2, 3, 1), (2, 3, 2)]
    else:
        (one, other), ratio = pair
        parts = [one, other, one, other]
        couplings = [(0, 1, ratio), (2, 3, ratio)]
    (found,) = judge(parts, couplings, selected=[1])
    assert found.network == 1
    assert len(judge(parts, couplings)) == 2
