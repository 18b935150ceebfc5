"""``lineshaft audit``: find the drives in a save, solve them and judge them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from analyzer.cli.options import (
    Judging,
    Reading,
    assume_active_option,
    box_option,
    cache_options,
    every_byte_option,
    fleet_options,
)
from analyzer.cli.output import write_report
from analyzer.cli.run_audit import run_audit
from analyzer.cli.say import quoted
from analyzer.cli.settings import settings_for
from analyzer.cli.status import audit_status

if TYPE_CHECKING:
    from collections.abc import Iterator

    from analyzer.findings.audit import Audit
    from analyzer.pipeline.config import Config, FailOn
    from analyzer.pipeline.switches import Explored
    from analyzer.report.baseline import Comparison, FormerFinding
    from analyzer.switching.switching import Switching


@click.command("audit", short_help="Find the drives in a save, solve and judge them.")
@fleet_options
@cache_options
@box_option
@every_byte_option
@assume_active_option
@click.option("--hints", is_flag=True, help="Name what is nearly coupled, too.")
@click.option(
    "--only", multiple=True, metavar="RULE", help="Judge by this rule alone. May be repeated."
)
@click.option(
    "--ignore", "ignored", multiple=True, metavar="RULE", help="Leave out a rule. May be repeated."
)
@click.option(
    "--baseline",
    type=click.Path(path_type=Path),
    metavar="REPORT.json",
    help="A former report of audit --format json: only findings that are new since make the exit "
    "status 1, and those that are gone are listed.",
)
@click.option(
    "--switches",
    is_flag=True,
    help="Explore the other states of switches and movers, too: what breaks in them, and what to "
    "set for that.",
)
@click.option(
    "--most-states",
    type=click.IntRange(min=1),
    metavar="N",
    help="With --switches: solve so many states of parts that switches can join; beyond that, "
    "those close to the save's.  [default: 5000]",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "html", "json", "csv", "sarif"]),
    default="text",
    show_default=True,
    help="For people as text or as one page, for machines, as a table of findings, or for viewers "
    "of static analysis.",
)
@click.option(
    "--fail-on",
    type=click.Choice(["error", "warning", "note", "never"]),
    help="Lowest level of findings that makes the exit status 1.  [default: error]",
)
def command(
    *,
    saves: tuple[Path, ...],
    box: tuple[int, int, int, int, int, int] | None,
    every_byte: bool,
    assume_active: bool,
    hints: bool,
    only: tuple[str, ...],
    ignored: tuple[str, ...],
    baseline: Path | None,
    switches: bool,
    most_states: int | None,
    form: str,
    fail_on: FailOn | None,
    **reading: Any,
) -> int:
    """Find the drives in a save, solve them exactly and judge them.

    SAVE is the folder of a save or server, a folder of region files, a structure
    template (.nbt), or a folder of templates. Of several saves the report says
    one line each before the rest.
    """
    asked = Reading(save=saves[0], **reading)
    judging = Judging(only, ignored, fail_on, assume_active=assume_active, hints=hints)
    if most_states is not None and not switches:
        raise click.UsageError("--most-states is for --switches.")
    if len(saves) > 1:
        if switches:
            raise click.UsageError("--switches explores one save. Name one SAVE.")
        from analyzer.cli.run_fleet import run_fleet

        return run_fleet(
            asked,
            judging,
            saves,
            box=box,
            every_byte=every_byte,
            baseline=baseline,
            form=form,
        )
    settings = settings_for(asked, judging)
    former = None if baseline is None else _former(baseline)
    audit = run_audit(asked, settings, box=box, every_byte=every_byte)
    switching = None
    if switches:
        explored = _explored(audit, settings, most_states)
        audit, switching = explored.audit, explored.switching
    comparison = None
    if former is not None:
        comparison = _comparison(audit, former, explored=switches)
    report = _report(form, audit, comparison, switching, save=quoted(asked.save))
    write_report(report, asked.output, quiet=asked.quiet)
    return audit_status(
        audit.scan.coverage,
        audit.findings.items if comparison is None else comparison.new,
        fail_on=settings.fail_on or "error",
        allow_unread=asked.allow_unread,
    )


def _former(baseline: Path) -> tuple[FormerFinding, ...]:
    from analyzer.pipeline.baseline_load import load_baseline

    return load_baseline(baseline)


def _explored(audit: Audit, settings: Config, most_states: int | None) -> Explored:
    from datetime import date

    from analyzer.pipeline.switches import explore_save
    from analyzer.switching.explore import MOST_STATES

    return explore_save(
        audit,
        most_states=most_states or MOST_STATES,
        ignores=settings.ignores,
        today=date.today(),
    )


def _comparison(audit: Audit, former: tuple[FormerFinding, ...], *, explored: bool) -> Comparison:
    from analyzer.pipeline.baseline import compare_with

    return compare_with(audit, former, explored=explored)


def _report(
    form: str,
    audit: Audit,
    comparison: Comparison | None,
    switching: Switching | None,
    *,
    save: str,
) -> Iterator[str]:
    match form:
        case "html":
            from analyzer.report.page.audit_page import iter_audit_page

            return iter_audit_page(audit, comparison=comparison)
        case "json":
            from analyzer.report.audit_json import iter_audit_json

            return iter_audit_json(audit, comparison=comparison, switching=switching)
        case "csv":
            from analyzer.report.findings_csv import iter_findings_csv

            return iter_findings_csv(audit)
        case "sarif":
            from analyzer.report.audit_sarif import iter_audit_sarif

            return iter_audit_sarif(audit, comparison=comparison)
    from analyzer.report.audit_text import iter_audit_text

    return iter_audit_text(audit, save=save, comparison=comparison, switching=switching)
