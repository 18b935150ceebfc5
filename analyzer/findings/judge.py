"""Judge a solved save: run every rule and put what they find in order."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.base.policy import Policy
from analyzer.couplings.couplings import Couplings
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding, Findings
from analyzer.findings.registry import RULES
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Scan
from analyzer.solution.solution import Solution

#: Sorts before every block.
_NOWHERE = Block(-(2**31), -(2**31), -(2**31))


def judge_audit(  # noqa: PLR0917 (the stages in their order)
    scan: Scan,
    parts: Parts,
    couplings: Couplings,
    networks: Networks,
    solution: Solution,
    policy: Policy,
    selected: npt.NDArray[np.bool_],
) -> Findings:
    """Return all findings about a save.

    Parameters
    ----------
    scan, parts, couplings, networks, solution
        The output of each stage. A save without parts still has findings about what was read.
    policy
        Levels, limits, rules that are off, and how many places a finding names.
    selected
        Networks to judge, bool, one a network; findings about a save as a whole are not affected.

    Returns
    -------
    Findings
        By dimension and network (those about a dimension as a whole first), then the gravest
        first, then by rule and place.
    """
    case = Case(
        scan=scan,
        parts=parts,
        couplings=couplings,
        networks=networks,
        solution=solution,
        policy=policy,
        selected=selected,
    )
    found = [
        finding
        for rule in RULES
        if rule.name not in policy.off
        for finding in rule.find(case, policy.levels.get(rule.name, rule.level))
    ]
    return Findings(tuple(sorted(found, key=finding_order)))


def finding_order(finding: Finding) -> tuple[str, int, int, str, Block, str]:
    """Return what findings are sorted by."""
    network = -1 if finding.network is None else finding.network
    at = finding.at or _NOWHERE
    return (finding.dimension, network, -finding.level, finding.rule, at, finding.fingerprint)
