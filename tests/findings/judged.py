"""Judging a mechanism by some rules alone."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from analyzer.findings.findings import Finding
from tests.support.mechanism import Part, audit_of, mechanism

SHAFTED = Fraction(1)


def judge_by(*rules: str) -> Callable[..., tuple[Finding, ...]]:
    """Return what judges a mechanism, given as `mechanism` takes it, and keeps some findings."""

    def judge(*args: object, **more: object) -> tuple[Finding, ...]:
        found = audit_of(mechanism(*args, **more)).findings.items  # type: ignore[arg-type]
        return tuple(one for one in found if one.rule in rules)

    return judge


def row(*parts: Part) -> tuple[list[Part], list[tuple[int, int, Fraction]]]:
    """Join parts end to end in one line."""
    return list(parts), [(i, i + 1, SHAFTED) for i in range(len(parts) - 1)]
