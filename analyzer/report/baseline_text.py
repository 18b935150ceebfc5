"""How an audit differs from a former report, for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from analyzer.report.baseline import Comparison, FormerFinding
from analyzer.report.clean import shown
from analyzer.report.layout import heading, paragraph
from analyzer.report.where_text import where_text

#: Most findings of each kind that are listed.
_MOST: Final = 20


def iter_comparison(comparison: Comparison) -> Iterator[str]:
    """Yield a section: how many findings are known, and which are new, gone or not judged."""
    yield "\n"
    counts = [
        f"{len(comparison.known):,} known",
        f"{len(comparison.new):,} new",
        f"{len(comparison.gone):,} gone",
    ]
    if comparison.not_judged:
        counts.append(f"{len(comparison.not_judged):,} not judged this time")
    yield from heading(f"Against the baseline: {', '.join(counts)}", "=")
    new = [
        f"new: {one.level}: {one.rule}{where_text(one.dimension, one.at)}" for one in comparison.new
    ]
    yield from _some(new)
    yield from _some([f"gone: {_former(one)}" for one in comparison.gone])
    yield from _some([f"not judged: {_former(one)}" for one in comparison.not_judged])


def _former(one: FormerFinding) -> str:
    # A report is a file that anyone may have written: nothing in it may steer a terminal.
    return f"{shown(one.level)}: {shown(one.rule)}{where_text(one.dimension, one.at)}"


def _some(lines: Sequence[str]) -> Iterator[str]:
    for line in lines[:_MOST]:
        yield from paragraph(line, first="  ", rest="    ")
    if len(lines) > _MOST:
        yield f"  ... and {len(lines) - _MOST:,} more. All of them: --format json\n"
