"""``lineshaft demo``: build the demo save, audit it, and check what the audit found."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analyzer.cli.output import write_report
from analyzer.cli.say import quoted, say

if TYPE_CHECKING:
    from analyzer.findings.audit import Audit


@click.command("demo", short_help="Build the demo save and audit it.")
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Build the save here: a folder that is empty or does not exist yet. Without it, a new "
    "temporary folder is made.",
)
def command(folder: Path | None) -> int:
    """Build the demo save, a boatyard and ropewalk by a tidal quay, and audit it.

    Ends with 0 if the audit finds just what stands in the save.
    """
    import tempfile

    from analyzer.base.errors import UsageError
    from analyzer.demo.build import build_demo
    from analyzer.pipeline.audit import audit_save
    from analyzer.report.audit_text import iter_audit_text

    save = folder or Path(tempfile.mkdtemp(prefix="lineshaft-demo-"))
    try:
        build_demo(save)
    except OSError as error:
        raise UsageError(f"{save}: cannot be written: {error.strerror or error}.") from error
    audit = audit_save(save, catalogues=["quayworks"])
    write_report(iter_audit_text(audit, save=quoted(save)), None, quiet=True)
    say(f"The demo save is in {save}")
    wrong = _differences(audit)
    for line in wrong:
        say(f"lineshaft: {line}")
    return 1 if wrong else 0


def _differences(audit: Audit) -> list[str]:
    """Return what the audit should have found and did not, and the reverse."""
    from analyzer.base.policy import Level
    from analyzer.demo.build import expected_findings

    expected = {(one.rule, one.dimension, one.anchor) for one in expected_findings()}
    found = {
        (
            one.rule,
            one.dimension,
            None
            if one.network is None
            else audit.parts.block_at(int(audit.networks.anchor[one.network])),
        )
        for one in audit.findings.items
        if one.level > Level.NOTE
    }
    return [
        *_lines("the audit did not find", expected - found),
        *_lines("the audit found beyond what is expected", found - expected),
    ]


def _lines(what: str, findings: Iterable[tuple[object, ...]]) -> list[str]:
    return sorted(f"{what}: {' '.join(map(str, finding))}" for finding in findings)
