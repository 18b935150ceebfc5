"""What a sentence about a finding is made with: its form, and facts that several of them tell."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias

from analyzer.base.exact import decimal_text
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.solution.solution import State

#: Most names that one sentence lists.
MOST_NAMES: Final = 8

Sentence: TypeAlias = Callable[[Audit, Finding], str]


@dataclass(frozen=True)
class Wording:
    """What is said about a rule's findings: what is wrong, and what to do next."""

    message: Sentence
    next_step: Sentence


def always(text: str) -> Sentence:
    """Return a sentence that is the same for every finding."""
    return lambda _audit, _finding: text


def quantities(finding: Finding) -> tuple[Fraction, Fraction]:
    """Return what was measured and the limit, of a finding that has both."""
    assert finding.measured is not None, f"{finding.rule} measures something"
    assert finding.limit is not None, f"{finding.rule} has a limit"
    return finding.measured, finding.limit


def stands_still(audit: Audit, finding: Finding) -> bool:
    """Tell whether a network's speeds are what they would be.

    They are where it is overloaded, and in another state of switches and movers.
    """
    assert finding.network is not None, f"{finding.rule} is about a network"
    if finding.throws:
        return True
    return bool(audit.solution.state[finding.network] == State.OVERLOADED)


def mend_the_cut(audit: Audit, finding: Finding) -> str:
    """Return what to do about a finding that holds only as far as was read."""
    assert finding.network is not None, f"{finding.rule} is about a network"
    if finding.network in audit.networks.network[audit.couplings.cuts.part]:
        return "Have the places it is cut at read: what lies there may change this."
    return "Set its unusable numbers first: what rests on them may change this."


def times_at_least(ratio: Fraction) -> str:
    """Write a factor with two decimal places, rounded up so that it suffices.

    >>> times_at_least(Fraction(4, 3))
    '1.34'
    """
    return decimal_text(Fraction(math.ceil(ratio * 100), 100))
