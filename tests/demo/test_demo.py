from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from analyzer import Audit, audit_save
from analyzer.base.errors import UsageError
from analyzer.base.policy import Level
from analyzer.demo.build import build_demo, expected_findings, expected_networks
from analyzer.demo.expect import ExpectedFinding, ExpectedNetwork
from analyzer.demo.oddments import DAMAGED, UNKNOWN
from analyzer.demo.quay import ropewalk
from analyzer.save.scan.scan import SlotStatus
from analyzer.solution.solution import Conflict, State


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "save"
    build_demo(folder)
    return folder


@pytest.fixture(scope="module")
def audit(demo) -> Audit:
    return audit_save(demo, catalogues=["quayworks"])


def networks_of(audit: Audit) -> list[ExpectedNetwork]:
    return [network_of(audit, network) for network in range(len(audit.networks))]


def network_of(audit: Audit, network: int) -> ExpectedNetwork:
    anchor = int(audit.networks.anchor[network])
    return ExpectedNetwork(
        dimension=audit.parts.dimensions[int(audit.parts.dimension[anchor])],
        anchor=audit.parts.block_at(anchor),
        state=str(State(audit.solution.state[network])),
        parts=len(audit.networks.members(network)),
        capacity=audit.solution.capacity_power(network),
        demand=audit.solution.demand_power(network),
        conflict=str(Conflict(audit.solution.conflict[network])),
        cut=bool(audit.solution.cut[network]),
    )


def test_the_audit_finds_every_network_as_it_was_built(audit):
    assert sorted(networks_of(audit)) == list(expected_networks())


def test_the_audit_finds_every_fault_that_was_built_in_and_no_other(audit):
    found = [
        ExpectedFinding(
            finding.rule,
            finding.dimension,
            None if finding.network is None else network_of(audit, finding.network).anchor,
        )
        for finding in audit.findings.items
        if finding.level >= Level.WARNING
    ]
    assert Counter(found) == Counter(expected_findings())


def test_every_rule_that_a_world_can_break_is_broken_once_at_least():
    assert {finding.rule for finding in expected_findings()} == {
        "broken-link",
        "cut-network",
        "governor-conflict",
        "heavy-network",
        "loop-conflict",
        "mover-conflict",
        "not-understood",
        "over-speed",
        "overload",
        "record-missing",
        "stale-record",
        "thin-headroom",
        "too-slow",
        "undriven-machines",
        "unread-chunks",
        "unusable-number",
    }


def test_what_is_no_fault_is_noted(audit):
    noted = [finding.rule for finding in audit.findings.items if finding.level is Level.NOTE]
    assert {"driving-nothing", "unequal-movers", "unknown-blocks"} <= set(noted)


def test_leftovers_are_counted(audit):
    assert audit.scan.leftovers.unknown == UNKNOWN
    assert audit.scan.leftovers.duplicate == 1
    assert sorted(rejected.reason for rejected in audit.parts.rejected) == [
        "not-understood",
        "stale",
    ]
    assert audit.scan.coverage.counts()[SlotStatus.UNREADABLE] == len(DAMAGED)


def test_the_demo_spans_dimensions_regions_and_negative_places(audit):
    regions = {(region.dimension, region.rx, region.rz) for region in audit.scan.coverage.regions}
    assert len(audit.scan.dimensions) == 2
    assert len(regions) >= 5
    assert audit.parts.xyz.min(axis=0)[0] < 0


def test_the_ropewalk_crosses_a_region_border():
    assert {placed.at.x >> 9 for placed in ropewalk().placements} == {-1, 0}


def test_the_demo_is_small(demo):
    assert sum(path.stat().st_size for path in demo.rglob("*") if path.is_file()) < 2**20


def test_the_demo_is_built_alike_every_time(demo, tmp_path):
    build_demo(tmp_path / "again")
    for path in sorted(path for path in demo.rglob("*") if path.is_file()):
        assert (tmp_path / "again" / path.relative_to(demo)).read_bytes() == path.read_bytes()


def test_an_empty_folder_will_do(tmp_path):
    build_demo(tmp_path)
    assert (tmp_path / "level.dat").exists()


def test_a_folder_that_holds_something_is_left_alone(tmp_path):
    (tmp_path / "letters.txt").write_text("dear harbour master")
    with pytest.raises(UsageError, match="is not an empty folder"):
        build_demo(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letters.txt"]


def test_a_file_is_no_folder_to_build_in(tmp_path):
    (tmp_path / "letters.txt").write_text("dear harbour master")
    with pytest.raises(UsageError, match="is not an empty folder"):
        build_demo(tmp_path / "letters.txt")
