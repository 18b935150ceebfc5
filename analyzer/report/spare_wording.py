"""Sentences about spare power: what is reached, and how it is known that nothing is better."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from analyzer.advice.spare.spare import Instead, Spare
from analyzer.base.exact import decimal_text
from analyzer.report.advice_wording import edit_text
from analyzer.report.quantities import amount, counted, place

#: Most machines that are named.
MOST_TURNS: Final = 4

#: Why a network's headroom is not looked into.
WHY_NOT: Final = {
    "conflicting": "It conflicts: there is no budget to look into. Mend that first.",
    "demand-unknown": "What its machines ask for is not known.",
    "idle": "No mover drives it.",
    "no-machine-turns": "No machine in it turns.",
    "no-such-mover": "It has no active mover of a type that is to be added.",
    "not-confirmed": "The answer did not hold when it was solved again. Please report this.",
    "too-large": "It is too large to be looked into.",
    "overloaded": "It is overloaded: there is nothing to spare.",
}


def reached_text(one: Spare) -> str:
    """Say what is reached, and what is as it is."""
    if one.spending.goal == "even":
        return f"a share of {_share(one.worth)}, up from {_share(one.worth_before)}"
    weighted = "weighted " if one.spending.weights else ""
    return (
        f"{amount(one.worth, 'rpm')} over all machines{', ' + weighted.strip() if weighted else ''}"
        f", up from {amount(one.worth_before, 'rpm')}"
    )


def speeds_text(one: Spare) -> str:
    """Say which machines turn otherwise, with their speeds."""
    turns = [turn for turn in one.turns if turn.machine]
    if not turns:
        return "every machine turns as it does"
    named = ", ".join(
        f"{place(turn.spot.at)} from {amount(abs(turn.before_rpm), 'rpm')} to "
        f"{amount(abs(turn.after_rpm), 'rpm')}"
        for turn in turns[:MOST_TURNS]
    )
    left = len(turns) - MOST_TURNS
    return named + (f", and {counted(left, 'more machine')}" if left > 0 else "")


def instead_text(one: Spare, further: Instead, unit: str) -> str:
    """Say what comes next, should there be more power."""
    text = edit_text(one.trial.audits[0], further.gearing)
    more = amount(further.short_power, unit)
    return f"with {more} more: {text}; that reaches {_worth(one, further.worth)}"


def optimum_text(one: Spare, unit: str) -> str:
    """Say how it is known that nothing better exists."""
    optimum = one.optimum
    if not optimum.best:
        bound, gap = _worth(one, optimum.bound), _worth(one, optimum.gap)
        return f"the best found; nothing goes above {bound}, a gap of {gap}"
    if optimum.by == "demand":
        assert optimum.next_share is not None
        power = amount(optimum.next_power, unit)
        return (
            f"nothing better exists: a least share of {_share(optimum.next_share)}, the next there "
            f"is, asks for {power} at least"
        )
    how = {
        "limits": "limits of speed and the gears there are allow no more, whatever the power",
        "price": "by a bound that a price on power gives",
        "enumeration": "all that could come up to it were looked at",
        "program": "by an integer program, gap 0",
    }[optimum.by]
    return f"nothing better exists: {how}"


def _worth(one: Spare, worth: Fraction) -> str:
    return _share(worth) if one.spending.goal == "even" else amount(worth, "rpm")


def _share(share: Fraction) -> str:
    return f"{decimal_text(share * 100)} %"
