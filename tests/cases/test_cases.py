"""Every case folder in ``fixtures/``, audited through the public API and compared exactly."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from analyzer import Audit, audit_save
from analyzer.base.exact import exact_text
from analyzer.base.policy import Policy
from analyzer.findings.registry import RULES
from analyzer.solution.solution import Conflict, State
from tests.cases.case import CATALOGUE
from tests.cases.make_cases import FIXTURES

CASES = sorted(path.parent for path in FIXTURES.glob("*/case.toml"))


@pytest.fixture(scope="module", params=CASES, ids=lambda folder: folder.name)
def case(request) -> tuple[dict, Audit]:
    folder: Path = request.param
    expected = tomllib.loads((folder / "case.toml").read_text("utf-8"))
    return expected, audit_case(folder / "save", folder)


def audit_case(path: Path, folder: Path) -> Audit:
    """Audit a save or template as the case in a folder says: its catalogue, and hints or none."""
    expected = tomllib.loads((folder / "case.toml").read_text("utf-8"))
    name = expected.get("catalogue")
    return audit_save(
        path,
        catalogues=[] if name is None else [str(folder / name) if name == CATALOGUE else name],
        policy=Policy(hints=expected.get("hints", False)),
    )


def test_its_networks_are_those_worked_out_by_hand(case):
    expected, audit = case
    without_speeds = [
        {name: value for name, value in network.items() if name != "speeds"}
        for network in expected.get("networks", [])
    ]
    assert list(networks_of(audit)) == without_speeds


def test_its_parts_turn_as_worked_out_by_hand(case):
    expected, audit = case
    turning = {
        tuple(audit.parts.block_at(part)): audit.solution.speed_rpm(part)
        for part in range(len(audit.parts))
    }
    for network in expected.get("networks", []):
        for speed in network.get("speeds", []):
            assert exact_text(turning[tuple(speed["at"])]) == speed["rpm"], speed["at"]


def test_its_findings_are_those_worked_out_by_hand(case):
    expected, audit = case
    assert sorted(findings_of(audit), key=_place) == sorted(
        expected.get("findings", []), key=_place
    )


def test_every_rule_has_a_case():
    found = set()
    for folder in CASES:
        case = tomllib.loads((folder / "case.toml").read_text("utf-8"))
        found |= {finding["rule"] for finding in case.get("findings", [])}
    assert found == {rule.name for rule in RULES}


def networks_of(audit: Audit) -> Iterator[dict]:
    for network, anchor in enumerate(audit.networks.anchor.tolist()):
        capacity = audit.solution.capacity_power(network)
        demand = audit.solution.demand_power(network)
        found = {
            "dimension": audit.parts.dimensions[int(audit.parts.dimension[anchor])],
            "anchor": list(audit.parts.block_at(anchor)),
            "state": str(State(audit.solution.state[network])),
            "conflict": str(Conflict(audit.solution.conflict[network])),
            "parts": len(audit.networks.members(network)),
            "capacity": exact_text(capacity),
            "cut": bool(audit.solution.cut[network]),
        }
        if demand is not None:
            found |= {"demand": exact_text(demand), "headroom": exact_text(capacity - demand)}
        yield found


def _place(finding: dict) -> tuple:
    return finding["rule"], finding.get("at", [])


def findings_of(audit: Audit) -> Iterator[dict]:
    for finding in audit.findings.items:
        found = {
            "rule": finding.rule,
            "level": str(finding.level),
            "certain": finding.certain,
            "count": finding.count,
        }
        if finding.at is not None:
            found["at"] = list(finding.at)
        if finding.measured is not None:
            found["measured"] = exact_text(finding.measured)
        if finding.limit is not None:
            found["limit"] = exact_text(finding.limit)
        yield found
