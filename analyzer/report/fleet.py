"""What a report on many saves says of each."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.findings.audit import Audit


@dataclass(frozen=True)
class NotOpened:
    """Why a save of a fleet was not audited.

    Parameters
    ----------
    reason
        ``not-opened`` or ``no-such-dimension``.
    detail
        As a clause, without a path of this machine.
    """

    reason: str
    detail: str


@dataclass(frozen=True)
class FleetEntry:
    """One save of a fleet.

    Parameters
    ----------
    name
        Its name, unlike that of any other.
    save
        How it is called on a command line, for the commands that a report suggests.
    exit_status
        The status that the audit of it alone would end with.
    audit
        Its audit; None where it was not opened.
    not_opened
        Why, in that case.
    """

    name: str
    save: str
    exit_status: int
    audit: Audit | None
    not_opened: NotOpened | None = None
