"""``lineshaft advise``: what to change, and what a change would do."""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING, Any

import click

from analyzer.cli.options import (
    Judging,
    Reading,
    assume_active_option,
    box_option,
    cache_options,
    reading_options,
)
from analyzer.cli.output import write_report
from analyzer.cli.run_audit import run_audit
from analyzer.cli.settings import settings_for
from analyzer.cli.spending import spending_of, spending_options
from analyzer.cli.status import reading_status

if TYPE_CHECKING:
    from analyzer.advice.advice import Weights


@click.command("advise", short_help="Tell what to change, or try a change.")
@reading_options
@cache_options
@box_option
@assume_active_option
@click.option(
    "--change",
    "changes",
    multiple=True,
    metavar="CHANGE",
    help="Try this change, such as 'remove 4 64 24' or 'set 4 64 24 lever=in' (docs/advice.md), "
    "and tell what it would do. May be repeated: all are made, in this order.",
)
@click.option(
    "--steps",
    type=click.IntRange(0, 4),
    default=2,
    show_default=True,
    metavar="N",
    help="Propose at most this many pairs of gears on the way from a mover to any part.",
)
@click.option(
    "--cost",
    "costs",
    multiple=True,
    metavar="KIND=N",
    help="Count what touches a part so as this much instead of 1. KIND is remove, add, replace, "
    "flip, set, cut or gear. May be repeated.",
)
@spending_options
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "html", "json"]),
    default="text",
    show_default=True,
    help="For people as text or as one page, or for machines.",
)
def command(
    *,
    changes: tuple[str, ...],
    costs: tuple[str, ...],
    steps: int,
    network: str | None,
    goal: str | None,
    weights: tuple[str, ...],
    added: tuple[str, ...],
    slower: bool,
    box: tuple[int, int, int, int, int, int] | None,
    assume_active: bool,
    form: str,
    **reading: Any,
) -> int:
    """Tell how best to mend what is wrong, and to spend power that is to spare.

    Each advice is tried by solving again. SAVE is the folder of a save or server, a
    folder of region files, a structure template (.nbt), or a folder of templates. With
    --change, tell instead what that change would do. Nothing is written to the save.
    """
    from analyzer.advice.remedies.subject import Allowed
    from analyzer.base.errors import UsageError
    from analyzer.pipeline.advise import advise_save, spend_save, try_changes
    from analyzer.report.advice_json import iter_advice_json, iter_trial_json
    from analyzer.report.advice_text import iter_advice_text, iter_trial_text
    from analyzer.report.page.audit_page import iter_advice_page, iter_trial_page
    from analyzer.report.spare_json import spare_row
    from analyzer.report.spare_text import iter_spare_text

    asked = Reading(**reading)
    allowed = Allowed(_weights(costs), steps)
    spending = spending_of(goal=goal, weights=weights, added=added, slower=slower, steps=steps)
    if changes and (network or goal or weights or added or slower):
        raise UsageError("--change goes without --network and the options about spare power")
    settings = settings_for(asked, Judging(assume_active=assume_active))
    audit = run_audit(asked, settings, box=box, every_byte=False)
    if changes:
        trial = try_changes(audit, changes, dimensions=asked.dimensions)
        told = {"text": iter_trial_text, "html": iter_trial_page, "json": iter_trial_json}
        report = told[form](audit, trial)
    else:
        advice = advise_save(audit, allowed=allowed, network=network)
        power = spend_save(audit, spending, network=network)
        if form == "text":
            told_power = iter_spare_text(audit, power)
            report = chain(iter_advice_text(audit, advice), "\n", told_power)
        elif form == "html":
            report = iter_advice_page(audit, advice, power)
        else:
            report = iter_advice_json(audit, advice, spare_row(audit, power))
    write_report(report, asked.output, quiet=asked.quiet)
    return reading_status(audit.scan.coverage, allow_unread=asked.allow_unread)


def _weights(costs: tuple[str, ...]) -> Weights:
    import re
    from dataclasses import fields, replace
    from fractions import Fraction

    from analyzer.advice.advice import Weights
    from analyzer.base.errors import UsageError

    weights, kinds = Weights(), [one.name for one in fields(Weights)]
    for text in costs:
        kind, _, number = text.partition("=")
        if kind not in kinds or not re.fullmatch(r"\d{1,6}(\.\d{1,6})?", number):
            raise UsageError(
                f"--cost {text}: write KIND=N, such as flip=0.5. KIND is one of "
                f"{', '.join(kinds)}, and N is at least 0."
            )
        weights = replace(weights, **{kind: Fraction(number)})
    return weights
