"""One finding for people: what, where, the proof, and what to do next."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding, Witness
from analyzer.report.clean import shown
from analyzer.report.layout import columns, labelled, paragraph
from analyzer.report.lookup import block_name_at, is_template
from analyzer.report.quantities import exact_of
from analyzer.report.sentences import message, next_command, next_step, place, statement
from analyzer.report.throws_text import throw_text
from analyzer.save.files.locate import UNNAMED

#: Most parts of a witness that are named.
_MOST_PARTS: Final = 12
#: Columns before what a label stands beside.
_INDENT: Final = 11


def iter_finding(audit: Audit, finding: Finding, *, save: str) -> Iterator[str]:
    """Yield the lines of one finding."""
    yield from paragraph(_title(finding), first="  ")
    yield from paragraph(statement(audit, finding), first="    ")
    for number, throw in enumerate(finding.throws):
        yield from _field("" if number else "set", throw_text(throw))
    if finding.at is not None:
        name = block_name_at(audit.parts, finding.dimension, finding.at)
        what = f"{shown(name)} at " if name else ""
        yield from _field("where", f"{what}{place(finding.at)}")
        yield from _way(audit, finding.dimension, place(finding.at))
    if finding.witness is not None:
        yield from _witness(audit, finding.dimension, finding.witness)
    elif finding.also:
        yield from _also(audit, finding)
    yield from _field("next", next_step(audit, finding))
    command = next_command(finding, save=save)
    if command is not None:
        yield from _command(command)


def iter_brief(audit: Audit, finding: Finding) -> Iterator[str]:
    """Yield the lines of one finding that is told in brief: what, and where to look first."""
    at = "" if finding.at is None else f", at {place(finding.at)}"
    text = f"{_title(finding)}{at}: {message(audit, finding)}"
    yield from paragraph(text, first="  ", rest="    ")


def _title(finding: Finding) -> str:
    reservation = "" if finding.certain == "yes" else f", {finding.certain}"
    return f"{finding.level}: {finding.rule}{reservation}"


def teleport(audit: Audit, dimension: str, where: str) -> str | None:
    """Return the game's command that takes whoever enters it to a position.

    None for a structure template: where it will stand is not known.
    """
    if is_template(audit, dimension):
        return None
    if dimension == UNNAMED:
        return f"/tp @s {where}"
    return f"/execute in {shown(dimension)} run tp @s {where}"


def _way(audit: Audit, dimension: str, where: str) -> Iterator[str]:
    command = teleport(audit, dimension, where)
    if command is not None:
        yield from _command(command)


def _command(text: str) -> Iterator[str]:
    # On one line however long it is, so that it can be pasted.
    yield f"{' ' * _INDENT}{text}\n"


def _field(label: str, text: str) -> Iterator[str]:
    yield from labelled(label, text, indent=4, width=_INDENT - 4)


def _also(audit: Audit, finding: Finding) -> Iterator[str]:
    if finding.at is None:
        chunks = ", ".join(f"{block.x >> 4} {block.z >> 4}" for block in finding.also)
        yield from _field("chunks", chunks)
        first = finding.also[0]
        yield from _way(audit, finding.dimension, f"{first.x} ~ {first.z}")
        return
    left = finding.count - 1 - len(finding.also)
    more = f", and {left:,} more" if left > 0 else ""
    yield from _field("also", ", ".join(map(place, finding.also)) + more)


def _witness(audit: Audit, dimension: str, witness: Witness) -> Iterator[str]:
    """Yield a witness, one part a line with how often it turns the next one a turn."""
    closing = [""] if witness.kind == "path" else []
    turns = [
        f"{'sets ' if number in witness.governed else ''}{exact_of(ratio) or '...'}"
        for number, ratio in enumerate(witness.ratios)
    ] + closing
    rows = [
        (place(at), shown(block_name_at(audit.parts, dimension, at) or "?"), times)
        for at, times in zip(witness.parts, turns, strict=True)
    ]
    left = len(rows) - _MOST_PARTS
    if left > 0:
        half = _MOST_PARTS // 2
        rows = [*rows[:half], (f"... {left:,} more ...", "", ""), *rows[-half:]]
    table = columns([("at", "part", "turns the next"), *rows], right="llr", indent=0)
    for number, line in enumerate(table):
        yield f"    {'' if number else witness.kind:<{_INDENT - 4}}{line}"
    round_about = exact_of(witness.product)
    if witness.kind == "loop" and not witness.governed and round_about is not None:
        yield f"{' ' * _INDENT}and so on to the first; once round: {round_about}\n"
