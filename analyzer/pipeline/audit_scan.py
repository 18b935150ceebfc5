"""Solving and judging what a scan found: every stage after it, one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import Catalogues
from analyzer.couplings.find import find_couplings
from analyzer.findings.audit import Audit
from analyzer.findings.ignores import Ignore
from analyzer.findings.judge import judge_audit
from analyzer.findings.taken import find_taken_while_running
from analyzer.networks.group import group_networks
from analyzer.parts.make import make_parts
from analyzer.pipeline.ignores import set_aside
from analyzer.pipeline.request import Box, select_networks
from analyzer.save.scan.scan import Scan
from analyzer.solution.solve import solve_networks


def audit_scan(
    scan: Scan,
    catalogues: Catalogues,
    *,
    policy: Policy = Policy(),  # noqa: B008 (frozen)
    ignores: Sequence[Ignore] = (),
    today: date | None = None,
    box: Box | None = None,
) -> Audit:
    """Solve and judge what a scan for some catalogues found.

    Parameters
    ----------
    scan
        A scan for what the catalogues want; an empty one gives an audit without networks.
    catalogues, policy, ignores, today, box
        As for `audit_save`.
    """
    parts = make_parts(scan, catalogues)
    couplings = find_couplings(parts, scan.coverage)
    networks = group_networks(parts, couplings)
    solution = solve_networks(parts, couplings, networks, policy)
    selected = select_networks(parts, networks, box)
    findings = judge_audit(scan, parts, couplings, networks, solution, policy, selected)
    audit = Audit(
        policy=policy,
        scan=scan,
        parts=parts,
        couplings=couplings,
        networks=networks,
        solution=solution,
        findings=findings,
        selected=selected,
        taken_while_running=find_taken_while_running(scan.coverage, parts, couplings, networks),
    )
    return set_aside(audit, ignores, today=today) if ignores else audit
