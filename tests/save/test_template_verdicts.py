"""The same build gives the same verdicts as a save and as a structure template."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from analyzer.base.place import Block
from analyzer.demo.build import builds
from analyzer.demo.content import Content, Placement, place
from analyzer.demo.expect import Build
from analyzer.demo.template import write_template
from analyzer.demo.write import write_save
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.survey import survey_save
from analyzer.report.parts_csv import iter_parts_csv

ORIGIN = Block(0, 0, 0)
BUILDS = builds()


def audited(path: Path) -> Audit:
    # A sifted chunk does not show everything that a template shows.
    return audit_save(path, catalogues=["quayworks"], every_byte=True)


def as_save(folder: Path, *content: Placement) -> Path:
    write_save(folder / "quay", {"minecraft:overworld": Content(content)})
    return folder / "quay"


def as_template(folder: Path, *content: Placement, corner: Block | None = ORIGIN) -> Path:
    write_template(folder / "quay.nbt", content, corner=corner)
    return folder / "quay.nbt"


def parts_of(audit: Audit) -> list[dict[str, str]]:
    """Return the rows of the parts table, without the dimension's name."""
    (dimension,) = audit.scan.dimensions
    rows = list(csv.DictReader("".join(iter_parts_csv(audit)).splitlines()))
    for row in rows:
        assert row.pop("dimension") == dimension
        row["network"] = row["network"].removeprefix(f"{dimension}:")
    return rows


def findings_of(audit: Audit) -> list[Any]:
    """Return the findings, without the dimension's name and what is made from it."""
    return [
        replace(finding, dimension=finding.dimension and "here", fingerprint="")
        for finding in audit.findings.items
    ]


@pytest.mark.parametrize("build", BUILDS, ids=lambda build: str(tuple(build.networks[0].anchor)))
def test_each_build_of_the_demo_gives_the_same_parts_speeds_and_findings(
    tmp_path: Path, build: Build
) -> None:
    save = audited(as_save(tmp_path, *build.placements))
    template = audited(as_template(tmp_path, *build.placements))
    assert parts_of(template) == parts_of(save)
    assert len(parts_of(template)) > 0
    assert findings_of(template) == findings_of(save)
    assert template.solution.state.tolist() == save.solution.state.tolist()
    # What an unusable number makes uncertain is so in both; no part aims at anything unread.
    assert template.solution.cut.tolist() == save.solution.cut.tolist()
    assert not len(template.couplings.cuts.part)
    assert template.scan.leftovers == save.scan.leftovers
    assert template.scan.strangers == save.scan.strangers
    assert np.array_equal(template.scan.bare.xyz, save.scan.bare.xyz)


def test_a_template_of_its_own_corner_is_the_same_build_shifted(tmp_path: Path) -> None:
    for number, build in enumerate(BUILDS):
        folder = tmp_path / str(number)
        folder.mkdir()
        low = np.min([placement.at for placement in build.placements], axis=0)
        moved = tuple(
            replace(placement, at=Block(*(np.array(placement.at) - low).tolist()))
            for placement in build.placements
        )
        here = audited(as_template(folder, *build.placements, corner=None))
        there = audited(as_template(folder, *moved))
        assert parts_of(here) == parts_of(there)
        assert here.parts.xyz.min() == 0


def test_a_folder_of_templates_is_judged_template_by_template(tmp_path: Path) -> None:
    for number, build in enumerate(BUILDS):
        write_template(tmp_path / "yard" / f"{number:02}.nbt", build.placements, corner=ORIGIN)
    audit = audited(tmp_path / "yard")
    assert len(audit.scan.dimensions) == len(BUILDS)
    # No part of one template meets a part of another, though their places overlap.
    dimension = audit.parts.dimension
    assert np.array_equal(dimension[audit.couplings.a], dimension[audit.couplings.b])
    assert not len(audit.couplings.cuts.part)
    assert audit.scan.coverage.faults == ()


def test_blocks_without_their_entity_and_unknown_names_are_the_same(tmp_path: Path) -> None:
    placements = BUILDS[0].placements
    lacking = [placement for placement in placements if placement.entity is not None][:2]
    content = (
        *(replace(one, entity=None) if one in lacking else one for one in placements),
        place((0, 60, 0), "quayworks:anvil", {"id": "quayworks:anvil"}),
    )
    save, template = (audited(write(tmp_path, *content)) for write in (as_save, as_template))
    assert parts_of(template) == parts_of(save)
    assert len(template.scan.bare) == 2
    assert np.array_equal(template.scan.bare.xyz, save.scan.bare.xyz)
    assert np.array_equal(template.scan.bare.state, save.scan.bare.state)
    assert template.scan.leftovers == save.scan.leftovers
    assert template.scan.strangers == save.scan.strangers == (("quayworks:anvil", 1),)
    assert findings_of(template) == findings_of(save)


def test_the_inventory_is_the_same(tmp_path: Path) -> None:
    content = tuple(placement for build in BUILDS for placement in build.placements)
    save = survey_save(as_save(tmp_path, *content))
    template = survey_save(as_template(tmp_path, *content))
    assert template.rows == save.rows
    assert template.states == save.states
    # A template's entities carry no mark of having been stored as they were.
    fields = tuple(field for field in save.fields if field.path != "keepPacked")
    assert template.fields == fields
    assert len(template.rows) > 50
