"""``lineshaft survey``: every block entity of a save, whether anything knows it or not."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from analyzer.cli.executing import executor_for
from analyzer.cli.options import Reading, reading_options
from analyzer.cli.output import check_target, write_report
from analyzer.cli.progress import shown_progress
from analyzer.cli.say import quoted
from analyzer.cli.settings import settings_for
from analyzer.cli.status import reading_status

if TYPE_CHECKING:
    from analyzer.catalogue.catalogue import Catalogues
    from analyzer.save.inventory.inventory import Inventory


@click.command("survey", short_help="List the block entities of a save, or draft a catalogue.")
@reading_options
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    help="For people (the default), or for machines.",
)
@click.option("--list", "each", is_flag=True, help="One CSV row a block entity.")
@click.option(
    "--draft",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write a starter catalogue for what no catalogue knows, to be filled in.",
)
@click.option("--namespace", metavar="NAME", help="Only block entities of this namespace.")
def command(
    form: str | None, each: bool, draft: Path | None, namespace: str | None, **reading: Any
) -> int:
    """List the block entities of a save, or draft a catalogue for them.

    SAVE is the folder of a save or server, a folder of region files, a structure
    template (.nbt), or a folder of templates. Every chunk is read whole.
    """
    if sum((form is not None, each, draft is not None)) > 1:
        raise click.UsageError("--format, --list and --draft exclude each other.")
    from analyzer.catalogue.load import load_catalogues
    from analyzer.pipeline.survey import survey_save

    asked = Reading(**reading)
    target = asked.output if draft is None else draft
    if draft is not None and asked.output is not None:
        raise click.UsageError("--draft names its file itself; --output has no use beside it.")
    if target is not None:
        check_target(target, asked.save, overwrite=draft is None)
    catalogues = load_catalogues(settings_for(asked).catalogues)
    with executor_for(asked) as executor, shown_progress(quiet=asked.quiet) as progress:
        inventory = survey_save(
            asked.save,
            dimensions=asked.dimensions,
            namespace=namespace,
            executor=executor,
            jobs=asked.jobs,
            limits=asked.limits,
            progress=progress,
            follow_links=asked.follow_links,
        )
    kind = "draft" if draft is not None else "list" if each else form or "text"
    report = _report(kind, inventory, catalogues, quoted(asked.save))
    write_report(report, target, quiet=asked.quiet)
    return reading_status(inventory.coverage, allow_unread=asked.allow_unread)


def _report(kind: str, inventory: Inventory, catalogues: Catalogues, save: str) -> Iterator[str]:
    from analyzer.report.draft import iter_draft
    from analyzer.report.survey_json import iter_survey_json
    from analyzer.report.survey_list import iter_survey_list
    from analyzer.report.survey_text import iter_survey_text

    match kind:
        case "draft":
            return iter_draft(inventory, catalogues)
        case "list":
            return iter_survey_list(inventory)
        case "json":
            return iter_survey_json(inventory, catalogues)
        case _:
            return iter_survey_text(inventory, catalogues, save=save)
