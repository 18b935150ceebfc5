"""The trial of a catalogue for people: a table of the pairs, and a sentence for each suspect."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from analyzer.base.exact import exact_text
from analyzer.findings.trial.trial import ENOUGH_PAIRS, InStep, Suspect, Tally, Trial
from analyzer.report.clean import shown
from analyzer.report.layout import columns, heading, paragraph
from analyzer.report.quantities import counted
from analyzer.report.trial_suspects import suspect_text

#: Most rows of neighbours in step that are shown.
MOST_ROWS: Final = 12


def iter_trial_text(trial: Trial) -> Iterator[str]:
    """Yield the report in pieces that end with a line.

    Parameters
    ----------
    trial
        What to report; one without pairs says that too little is recorded.
    """
    yield from heading("The catalogue on trial", "=")
    yield from paragraph(_compared(trial))
    if trial.tallies:
        yield "\n"
        yield from _table(trial.tallies)
    if trial.in_step:
        yield "\n"
        yield from heading("In step without a coupling", "-")
        yield from _in_step(trial.in_step)
    yield from _suspects("Suspected", trial.proven)
    few = [suspect for suspect in trial.suspects if not suspect.proven]
    yield from _suspects(f"Suspected, by fewer than {ENOUGH_PAIRS} pairs or not by most", few)
    yield "\n"
    yield from paragraph(_verdict(trial))


def _compared(trial: Trial) -> str:
    parts = counted(trial.recorded, "part")
    pairs = counted(trial.pairs, "coupled pair")
    agree = f"{trial.agreed:,} agree"
    return f"{parts} with a recorded speed; {pairs} where neither is 0, of which {agree}."


@dataclass
class _Row:
    """All pairs of one type by one kind of coupling."""

    agreed: int = 0
    sign: int = 0
    ratio: int = 0
    seen: Counter[tuple[Fraction, Fraction]] = field(default_factory=Counter)


def _table(tallies: Sequence[Tally]) -> Iterator[str]:
    """Yield a row for each type and kind of coupling; a pair counts for both of its types."""
    rows: dict[tuple[str, str], _Row] = {}
    for tally in tallies:
        for name in sorted({tally.type, tally.other}):
            row = rows.setdefault((name, str(tally.kind)), _Row())
            row.agreed += tally.agreed
            row.sign += tally.sign_differs
            row.ratio += tally.ratio_differs
            if tally.seen is not None:
                row.seen[tally.seen, tally.says] += tally.ratio_differs
    header = ("type", "by", "agreed", "sign differs", "ratio differs", "seen most")
    cells = [
        (shown(name), kind, f"{row.agreed:,}", f"{row.sign:,}", f"{row.ratio:,}", _seen(row))
        for (name, kind), row in sorted(rows.items())
    ]
    yield from columns([header, *cells], right="llrrrl", indent=0)


def _seen(row: _Row) -> str:
    if not row.seen:
        return ""
    seen, says = min(row.seen, key=lambda pair: (-row.seen[pair], pair))
    return f"{exact_text(seen)}, not {exact_text(says)}"


def _in_step(rows: Sequence[InStep]) -> Iterator[str]:
    header = ("type", "beside", "at its front, top, right", "ratio", "pairs")
    most = sorted(rows, key=lambda row: (-row.pairs, row))
    cells = [
        (
            shown(row.type),
            shown(row.other),
            " ".join(map(str, row.at)),
            exact_text(row.ratio),
            f"{row.pairs:,}",
        )
        for row in most[:MOST_ROWS]
    ]
    yield from columns([header, *cells], right="lllrr", indent=0)
    if len(rows) > MOST_ROWS:
        yield f"... and {len(rows) - MOST_ROWS:,} more\n"


def _suspects(title: str, suspects: Sequence[Suspect]) -> Iterator[str]:
    if not suspects:
        return
    yield "\n"
    yield from heading(title, "-")
    for suspect in suspects:
        yield from paragraph(suspect_text(suspect), first="  ", rest="    ")


def _verdict(trial: Trial) -> str:
    if trial.describes is None:
        return (
            f"Too little is recorded to tell: fewer than {ENOUGH_PAIRS} coupled pairs have speeds "
            "that are not 0."
        )
    if trial.describes:
        return "The catalogue describes this save, as far as recorded speeds tell."
    named = ", ".join(map(shown, trial.types))
    return f"The catalogue does not describe this save: {named or 'too few pairs agree'}."
