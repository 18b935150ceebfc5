"""Spare power as text and as JSON, held against the schema."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.advice.advice import Advice
from analyzer.advice.spare import moves, settle
from analyzer.advice.spare.spare import Goal, Spending
from analyzer.pipeline.advise import spend_save
from analyzer.report.advice_json import iter_advice_json
from analyzer.report.spare_json import spare_row
from analyzer.report.spare_text import iter_spare_text
from tests.advice.halls import long_hall
from tests.support.demo import demo_audit
from tests.support.schemas import check_document


@pytest.mark.parametrize("goal", ["throughput", "even"])
def test_the_demo_s_spare_power_keeps_to_the_schema_and_to_80_columns(goal: Goal) -> None:
    audit = demo_audit()
    power = spend_save(audit, Spending(goal=goal))
    document = check_document(
        "".join(iter_advice_json(audit, Advice(), spare_row(audit, power))), "advice"
    )
    networks = document["spare"]["networks"]
    assert networks
    assert all(one["advice"]["optimum"]["best"] for one in networks)
    text = "".join(iter_spare_text(audit, power))
    assert max(map(len, text.splitlines())) <= 80
    assert text.count("nothing better exists") == len(networks)


def test_what_is_spent_and_what_is_left_is_told() -> None:
    audit = demo_audit()
    network = "minecraft:overworld:3,64,5"
    power = spend_save(audit, Spending(), network=network)
    text = "".join(iter_spare_text(audit, power))
    assert "    reached   32 rpm over all machines, up from 16 rpm\n" in text
    assert "    speeds    5 65 6 from 16 rpm to 32 rpm\n" in text
    assert "    left      0 hands\n" in text
    (found,) = spare_row(audit, power)["networks"]
    assert found["network"]["id"] == network
    assert found["advice"]["machines"] == [
        {
            "at": [5, 65, 6],
            "before": 16,
            "before_exact": "16",
            "after": 32,
            "after_exact": "32",
        }
    ]
    assert found["advice"]["next"][0]["short_exact"] == "256/5"


def test_a_network_without_headroom_says_why() -> None:
    audit = demo_audit()
    power = spend_save(audit, Spending(), network="minecraft:overworld:3,64,24")
    assert "It is overloaded" in "".join(iter_spare_text(audit, power))
    (found,) = spare_row(audit, power)["networks"]
    assert (found["reason"], found["advice"]) == ("overloaded", None)


def test_a_gap_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    # As if there were too much to be looked at, and for a program.
    monkeypatch.setattr(settle, "WORK", 0)
    monkeypatch.setattr(moves, "MOST_VARIABLES", 0)
    audit = long_hall(400, every=3, torques=40, headroom=Fraction(1, 10))
    power = spend_save(audit, Spending())
    text = "".join(iter_spare_text(audit, power))
    (found,) = spare_row(audit, power)["networks"]
    optimum = found["advice"]["optimum"]
    assert not optimum["best"]
    assert optimum["gap"] > 0
    assert "the best found; nothing goes above" in text
    assert "more like these" in text
