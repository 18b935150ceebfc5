"""Setting aside the findings that the user accepts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding, Findings
from analyzer.findings.ignores import Ignore, Ignored
from analyzer.pipeline.request import Box, select_networks


def set_aside(audit: Audit, ignores: Sequence[Ignore], *, today: date | None = None) -> Audit:
    """Return an audit whose findings are those that no ignore meets.

    Parameters
    ----------
    audit
        An audit of which nothing was set aside yet.
    ignores
        What the user accepts; none leaves every finding.
    today
        The day on which it is judged whether an ignore still holds; None: all of them hold.

    Returns
    -------
    Audit
        The findings set aside are `Audit.ignored`, each with the first ignore that it meets, in
        the order of findings; ignores that no longer hold are `Audit.lapsed`, in the order given.
    """
    holding = [_Tester(audit, one) for one in ignores if one.holds_on(today)]
    kept: list[Finding] = []
    ignored: list[Ignored] = []
    for finding in audit.findings.items:
        met = next((tester.ignore for tester in holding if tester.meets(finding)), None)
        if met is None:
            kept.append(finding)
        else:
            ignored.append(Ignored(finding, met))
    return replace(
        audit,
        findings=Findings(tuple(kept)),
        ignored=tuple(ignored),
        lapsed=tuple(one for one in ignores if not one.holds_on(today)),
    )


class _Tester:
    """One ignore, with the networks that its box selects."""

    def __init__(self, audit: Audit, ignore: Ignore) -> None:
        self.ignore = ignore
        self._audit = audit
        self._in_box = select_networks(audit.parts, audit.networks, ignore.box)

    def meets(self, finding: Finding) -> bool:
        asked = self.ignore
        return (
            asked.rule in (None, finding.rule)
            and asked.dimension in (None, finding.dimension)
            and asked.network in (None, self._network_of(finding))
            and (asked.box is None or self._lies_in(finding, asked.box))
        )

    def _network_of(self, finding: Finding) -> str:
        return "" if finding.network is None else self._audit.network_id(finding.network)

    def _lies_in(self, finding: Finding, box: Box) -> bool:
        if finding.network is not None:
            return bool(self._in_box[finding.network])
        return finding.at is not None and _holds(box, finding.at)


def _holds(box: Box, block: Block) -> bool:
    low, high = np.minimum(*box), np.maximum(*box)
    return bool((low <= block).all() and (block <= high).all())
