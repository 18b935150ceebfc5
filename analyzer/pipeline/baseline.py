"""Holding an audit against a former report."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analyzer.findings.audit import Audit
from analyzer.findings.rules import nearly_coupled
from analyzer.report.baseline import Comparison, FormerFinding
from analyzer.report.lookup import part_at
from analyzer.save.scan.scan import SlotStatus


def compare_with(
    audit: Audit, former: Sequence[FormerFinding], *, explored: bool = False
) -> Comparison:
    """Tell which findings of an audit are new, and which of a former report are gone.

    Parameters
    ----------
    audit
        The audit. What it sets aside is neither new nor gone.
    former
        The findings of a former report; with none, every finding is new.
    explored
        Whether the audit has findings of other states of switches and movers among its own.
    """
    before = {one.fingerprint for one in former}
    items = audit.findings.items
    still = {one.fingerprint for one in items}
    still |= {one.finding.fingerprint for one in audit.ignored}
    ended = [one for one in former if one.fingerprint not in still]
    judged = [(explored or not one.elsewhere) and _is_judged(audit, one) for one in ended]
    return Comparison(
        known=tuple(one for one in items if one.fingerprint in before),
        new=tuple(one for one in items if one.fingerprint not in before),
        gone=tuple(one for one, sure in zip(ended, judged, strict=True) if sure),
        not_judged=tuple(one for one, sure in zip(ended, judged, strict=True) if not sure),
    )


def _is_judged(audit: Audit, former: FormerFinding) -> bool:
    """Tell whether the audit would have found it again, were it still there."""
    policy = audit.policy
    if former.rule in policy.off or (former.rule == nearly_coupled.NAME and not policy.hints):
        return False
    if former.dimension is None:
        return True
    if former.dimension not in audit.scan.dimensions:
        return False
    return former.at is None or (_is_read(audit, former) and _is_selected(audit, former))


def _is_read(audit: Audit, former: FormerFinding) -> bool:
    assert former.at is not None, "only what has a place is asked about"
    assert former.dimension is not None, "what has a place lies in a dimension"
    coverage, number = audit.scan.coverage, audit.scan.dimensions.index(former.dimension)
    status = coverage.status_of(
        dimension=np.array([number]),
        cx=np.array([former.at.x >> 4]),
        cz=np.array([former.at.z >> 4]),
    )
    if status[0] != SlotStatus.ABSENT:
        return int(status[0]) not in (SlotStatus.UNREADABLE, SlotStatus.UNSTABLE)
    # What lies in a folder or template that cannot be read looks as if it had never been there.
    return not any(
        fault.chunk is None and fault.dimension == former.dimension for fault in coverage.faults
    )


def _is_selected(audit: Audit, former: FormerFinding) -> bool:
    if former.network is None or audit.selected.all():
        return True
    assert former.at is not None, "only what has a place is asked about"
    assert former.dimension is not None, "what has a place lies in a dimension"
    part = part_at(audit.parts, former.dimension, former.at)
    return part is not None and bool(audit.selected[audit.networks.network[part]])
