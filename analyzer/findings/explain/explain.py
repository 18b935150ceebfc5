"""Explain one part: what its motion comes from, what it takes or gives, what is found about it."""

from __future__ import annotations

from fractions import Fraction

from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.findings.case import Case
from analyzer.findings.explain.disagreeing import disagreeing_chains
from analyzer.findings.explain.driven import driving_chain
from analyzer.findings.explain.drivers import find_drivers
from analyzer.findings.explain.explanation import RESTING, Cause, Explanation
from analyzer.findings.findings import Finding
from analyzer.solution.solution import Motion, State


def explain_part(audit: Audit, part: int) -> Explanation:
    """Return why a part turns as it does, or why it does not.

    Parameters
    ----------
    audit
        The audit that the part is in.
    part
        Its row.

    Returns
    -------
    Explanation
        See there.

    Notes
    -----
    Costs time in proportion to the part's network, and once an array operation over all parts.
    """
    case = Case(
        scan=audit.scan,
        parts=audit.parts,
        couplings=audit.couplings,
        networks=audit.networks,
        solution=audit.solution,
        policy=audit.policy,
        selected=audit.selected,
    )
    network = int(audit.networks.network[part])
    cause = _cause(case, part, network)
    if cause in ("loop", "movers", "governors"):
        chains = disagreeing_chains(case, part)
    else:
        chain = driving_chain(case, part)
        chains = () if chain is None else (chain,)
    return Explanation(
        part=part,
        network=network,
        cause=cause,
        chains=chains,
        drivers=find_drivers(case, part) if cause in RESTING else (),
        power=_power(case, part),
        findings=_findings(audit, part, network),
    )


def _cause(case: Case, part: int, network: int) -> Cause:
    solution = case.solution
    zone = int(case.networks.zone[part])
    motion = Motion(int(solution.motion[zone]))
    match State(int(solution.state[network])):
        case State.CONFLICTING:
            conflicts: dict[int, Cause] = {1: "loop", 2: "movers", 3: "governors"}
            return conflicts[int(solution.conflict[network])]
        case State.IDLE:
            return "no mover"
        case state:
            if motion is Motion.RESTS:
                return "not reached" if solution.leader[zone] < 0 else "held"
            if motion is Motion.OUT_OF_RANGE:
                return "out of range"
            return "driven" if state is State.TURNING else "overloaded"


def _power(case: Case, part: int) -> Fraction | None:
    torque = case.parts.number(part, Field.TORQUE)
    if torque is None:
        return None
    if case.machine[part]:
        rpm = case.solution.speed_rpm(part)
    elif case.solution.active[part]:
        rpm = case.parts.number(part, Field.RATED_RPM)
    else:
        return None
    return None if rpm is None else torque * abs(rpm)


def _findings(audit: Audit, part: int, network: int) -> tuple[Finding, ...]:
    at = audit.parts.block_at(part)
    dimension = audit.parts.dimensions[int(audit.parts.dimension[part])]
    return tuple(
        finding
        for finding in audit.findings.items
        if finding.network == network or (finding.dimension == dimension and at in finding.places)
    )
