"""Advice about an audited save: remedies for what was found, and changes tried."""

from __future__ import annotations

from collections.abc import Sequence

from analyzer.advice.advice import Advice, Trial
from analyzer.advice.advise import advise_audit
from analyzer.advice.change_text import parse_changes
from analyzer.advice.remedies.subject import Allowed
from analyzer.advice.workbench import try_edits
from analyzer.findings.audit import Audit


def advise_save(audit: Audit, *, allowed: Allowed = Allowed()) -> Advice:  # noqa: B008 (frozen)
    """Seek the cheapest ways to mend what an audit found.

    Parameters
    ----------
    audit
        The audit of the save; an audit without findings gives advice without remedies.
    allowed
        What may be done, and what it costs.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from analyzer.demo.build import build_demo
    >>> from analyzer.pipeline.audit import audit_save
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     audit = audit_save(name, catalogues=["quayworks"])
    >>> overload = next(one for one in audit.findings.items if one.rule == "overload")
    >>> [one.kind for one in advise_save(audit).remedies[overload.fingerprint]]
    ['add-movers', 'disconnect-machines', 'change-speed']
    """
    return advise_audit(audit, allowed)


def try_changes(audit: Audit, changes: Sequence[str], *, dimensions: Sequence[str] = ()) -> Trial:
    """Try changes without touching the save.

    Parameters
    ----------
    audit
        The audit of the save.
    changes
        Changes as docs/advice.md says how to write them; all are made, in this order.
    dimensions
        Dimensions that were asked about: where there is one, positions are in it.

    Raises
    ------
    UsageError
        Where a change is not understood or cannot be made.
    """
    dimension = dimensions[0] if len(set(dimensions)) == 1 else None
    return try_edits(audit, parse_changes(changes, audit, dimension))
