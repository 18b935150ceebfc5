"""Exit statuses: docs/output.md, Exit status."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from analyzer.base.policy import Level
    from analyzer.findings.findings import Findings
    from analyzer.save.scan import Coverage

#: Findings at or above the chosen level.
FOUND: Final = 1
#: Wrong usage, a bad catalogue, or a save that cannot be opened at all.
WRONG: Final = 2
#: Some file or chunk could not be read, and that was not allowed.
UNREAD: Final = 3
#: A fault of the program itself.
BROKEN: Final = 70
#: Stopped by the user.
INTERRUPTED: Final = 130


def reading_status(coverage: Coverage, *, allow_unread: bool) -> int:
    """Return the status of a command that reads and does not judge."""
    return UNREAD if coverage.faults and not allow_unread else 0


def audit_status(
    coverage: Coverage, findings: Findings, *, fail_on: Level | None, allow_unread: bool
) -> int:
    """Return the status of an audit.

    Parameters
    ----------
    coverage, findings
        What was read and found.
    fail_on
        Lowest level of findings that counts; None: findings do not count.
    allow_unread
        Whether it is accepted that something could not be read.
    """
    unread = reading_status(coverage, allow_unread=allow_unread)
    if unread:
        return unread
    grave = fail_on is not None and any(one.level >= fail_on for one in findings.items)
    return FOUND if grave else 0
