"""A chain of parts for people: one part a line, with its ratio and speed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final

from analyzer.base.exact import decimal_text
from analyzer.findings.audit import Audit
from analyzer.findings.explain.explanation import Step
from analyzer.report.clean import shown
from analyzer.report.layout import columns
from analyzer.report.quantities import exact_of, place

#: Parts alike in a row of which the middle ones are only counted.
_ALIKE: Final = 4
#: Most characters of an exact number.
_WIDEST: Final = 12
#: Most lines of one chain.
_MOST_LINES: Final = 40

_HEADER: Final = ("at", "part", "by", "ratio", "rpm")


def iter_chain(audit: Audit, steps: Sequence[Step]) -> Iterator[str]:
    """Yield one line a part: how it is coupled to the one before, at what ratio, and its speed."""
    rows: list[tuple[str, ...]] = []
    for _, group in groupby(steps, key=lambda step: _kind(audit, step)):
        alike = list(group)
        if len(alike) <= _ALIKE:
            rows += [_row(audit, step) for step in alike]
            continue
        first, last = alike[0], alike[-1]
        rows += [
            _row(audit, first),
            (f"... {len(alike) - 2:,} more alike ...", "", "", _ratio(first), ""),
            _row(audit, last),
        ]
    if len(rows) > _MOST_LINES:
        half = _MOST_LINES // 2
        left = len(rows) - 2 * half
        rows = [*rows[:half], (f"... {left:,} more lines ...", "", "", "", ""), *rows[-half:]]
    yield from columns([_HEADER, *rows], right="lllrr")


def _kind(audit: Audit, step: Step) -> tuple[object, ...]:
    parts = audit.parts
    return (int(parts.type[step.part]), step.kind, step.ratio, step.sets_rpm)


def _row(audit: Audit, step: Step) -> tuple[str, ...]:
    parts = audit.parts
    return (
        place(parts.block_at(step.part)),
        shown(parts.catalogues.types[int(parts.type[step.part])].block),
        "" if step.kind is None else str(step.kind),
        _ratio(step),
        "" if step.rpm is None else _short(step.rpm),
    )


def _ratio(step: Step) -> str:
    if step.sets_rpm is not None:
        return f"sets {_short(step.sets_rpm)}"
    return "" if step.ratio is None else _short(step.ratio)


def _short(value: Fraction) -> str:
    """Return a number exactly where that fits a column, else nearly."""
    exact = exact_of(value)
    if exact is not None and len(exact) <= _WIDEST:
        return exact
    if Fraction(1, 100) <= abs(value) < 10**9:
        return decimal_text(value)
    bits = math.log2(abs(value.numerator)) - math.log2(value.denominator)
    return f"{'-' if value < 0 else ''}~10^{round(bits * math.log10(2))}"
