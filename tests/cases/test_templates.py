"""The same build as a save and as a structure template: the same verdicts."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer import Audit
from analyzer.base.exact import exact_text
from analyzer.base.place import Block
from analyzer.demo.template import write_template
from tests.cases.case import Case
from tests.cases.make_cases import FIXTURES, all_cases
from tests.cases.test_cases import audit_case, findings_of, networks_of


def fits(case: Case) -> bool:
    """Tell whether a template can hold a case: it knows no chunks, so none can be unread."""
    return not (case.broken or case.unfinished or any(network.cut for network in case.networks))


#: Numbers that cannot be used cut a network too, and those a template holds as well as a save.
CASES = [
    case
    for case in all_cases()
    if fits(case) or any(fault.rule == "unusable-number" for fault in case.faults)
]


@pytest.fixture(params=CASES, ids=lambda case: case.name)
def audits(request, tmp_path: Path) -> tuple[Audit, Audit, Block]:
    """Return the audit of a case's save, of its template, and the template's corner.

    The corner is the world's origin where it can be, so that positions kept in the data hold.
    """
    case: Case = request.param
    folder = FIXTURES / case.name
    corner = Block(*(min(0, *axis) for axis in zip(*(one.at for one in case.blocks), strict=True)))
    path = tmp_path / f"{case.name}.nbt"
    write_template(path, case.blocks, corner=corner, data_version=case.manner.data_version)
    return (
        audit_case(folder / "save", folder),
        audit_case(path, folder),
        corner,
    )


def test_a_template_gives_the_networks_of_the_save(audits):
    save, template, corner = audits
    assert [
        {**network, "dimension": ""} | {"anchor": shifted(network["anchor"], corner)}
        for network in networks_of(template)
    ] == [{**network, "dimension": ""} for network in networks_of(save)]


def test_a_template_gives_the_speeds_of_the_save(audits):
    save, template, corner = audits
    assert {
        tuple(shifted(at, corner)): rpm for at, rpm in speeds_of(template).items()
    } == speeds_of(save)


def test_a_template_gives_the_findings_of_the_save(audits):
    save, template, corner = audits
    assert [
        finding | ({"at": shifted(finding["at"], corner)} if "at" in finding else {})
        for finding in findings_of(template)
    ] == list(findings_of(save))


def shifted(at: tuple[int, ...] | list[int], corner: Block) -> list[int]:
    return [own + low for own, low in zip(at, corner, strict=True)]


def speeds_of(audit: Audit) -> dict[tuple[int, ...], str | None]:
    found = {}
    for part in range(len(audit.parts)):
        rpm = audit.solution.speed_rpm(part)
        found[tuple(audit.parts.block_at(part))] = None if rpm is None else exact_text(rpm)
    return found
