"""Exit statuses: docs/output.md, Exit status."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from analyzer.findings.findings import Finding
    from analyzer.findings.trial.trial import Trial
    from analyzer.pipeline.config import FailOn
    from analyzer.save.scan.scan import Coverage

#: Findings at or above the chosen level, or a catalogue that does not describe a save.
FOUND: Final = 1
#: Wrong usage, a bad catalogue, or a save that cannot be opened at all.
WRONG: Final = 2
#: Some file or chunk could not be read, and that was not allowed.
UNREAD: Final = 3
#: A fault of the program itself.
BROKEN: Final = 70
#: Stopped by the user.
INTERRUPTED: Final = 130


#: Statuses of audits, the worst first.
_WORST_FIRST: Final = (WRONG, UNREAD, FOUND, 0)


def worst_status(statuses: Iterable[int]) -> int:
    """Return the worst of the statuses of several audits; 0 of none."""
    return min(statuses, key=_WORST_FIRST.index, default=0)


def reading_status(coverage: Coverage, *, allow_unread: bool) -> int:
    """Return the status of a command that reads and does not judge."""
    return UNREAD if coverage.faults and not allow_unread else 0


def audit_status(
    coverage: Coverage, findings: Iterable[Finding], *, fail_on: FailOn, allow_unread: bool
) -> int:
    """Return the status of an audit.

    Parameters
    ----------
    coverage
        What was read.
    findings
        The findings that count: all of them, or those that a former report has not.
    fail_on
        Lowest level of findings that makes it fail.
    allow_unread
        Whether it is accepted that something could not be read.
    """
    unread = reading_status(coverage, allow_unread=allow_unread)
    if unread or fail_on == "never":
        return unread
    from analyzer.base.policy import Level

    return FOUND if any(one.level >= Level[fail_on.upper()] for one in findings) else 0


def trial_status(coverage: Coverage, trial: Trial, *, allow_unread: bool) -> int:
    """Return the status of a trial of catalogues: whether they describe the save."""
    unread = reading_status(coverage, allow_unread=allow_unread)
    return unread or (FOUND if trial.describes is False else 0)
