"""What is asked about: dimensions and a box, which select and never cut."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.base.errors import UsageError
from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.request import Box
from tests.support.demo import demo_audit, demo_save

OVERWORLD = "minecraft:overworld"
UNDERCROFT = "quayworks:undercroft"


def demo_in(box: Box) -> Audit:
    return audit_save(demo_save(), catalogues=["quayworks"], box=box)


def anchors(audit: Audit) -> set[Block]:
    return {
        audit.parts.block_at(int(audit.networks.anchor[number]))
        for number in audit.selected.nonzero()[0]
    }


def test_a_box_selects_networks_with_any_part_in_it() -> None:
    # The mast hall stands from x = 3 to 8; its last lathe alone lies in the box.
    audit = demo_in((Block(8, 64, 24), Block(8, 64, 24)))
    assert anchors(audit) == {Block(3, 64, 24)}
    assert [one.rule for one in audit.findings.items if one.network is not None] == ["overload"]


def test_a_box_is_given_by_any_two_opposite_corners() -> None:
    one = demo_in((Block(8, 64, 24), Block(3, 60, 30)))
    other = demo_in((Block(3, 64, 30), Block(8, 60, 24)))
    assert anchors(one) == anchors(other) == {Block(3, 64, 24)}


def test_a_box_cuts_nothing_and_hides_nothing_about_the_save() -> None:
    audit = demo_in((Block(8, 64, 24), Block(8, 64, 24)))
    assert len(audit.networks) == len(demo_audit().networks)
    assert (audit.solution.cut == demo_audit().solution.cut).all()
    assert "unread-chunks" in {one.rule for one in audit.findings.items}


def test_a_box_holds_in_every_dimension() -> None:
    everywhere = demo_in((Block(-(2**31), -(2**31), -(2**31)), Block(2**31 - 1, 2**31 - 1, 400)))
    assert everywhere.selected.all()


def test_an_empty_box_selects_nothing() -> None:
    assert not demo_in((Block(0, 300, 0), Block(1, 301, 1))).selected.any()


def test_a_dimension_leaves_out_the_others() -> None:
    audit = audit_save(demo_save(), catalogues=["quayworks"], dimensions=[UNDERCROFT])
    assert audit.parts.dimensions == (UNDERCROFT,)
    assert audit.scan.coverage.faults == ()
    assert len(audit.parts)


def test_an_unknown_dimension_is_refused_with_those_there_are() -> None:
    with pytest.raises(UsageError) as caught:
        audit_save(demo_save(), dimensions=["quay:moon"])
    text = str(caught.value)
    assert "quay:moon" in text
    assert OVERWORLD in text
    assert UNDERCROFT in text


@pytest.mark.parametrize(
    ("dimensions", "name", "found"),
    [([], None, "unnamed"), (["quay:side"], None, "quay:side"), ([], "quay:side", "quay:side")],
)
def test_a_bare_region_folder_is_named_by_the_dimension_asked_for(
    dimensions: list[str], name: str | None, found: str
) -> None:
    folder = demo_save() / "region"
    audit = audit_save(folder, catalogues=["quayworks"], dimensions=dimensions, dimension_name=name)
    assert audit.parts.dimensions == (found,)
    assert len(audit.parts)


def test_a_bare_region_folder_has_one_name_only() -> None:
    with pytest.raises(UsageError):
        audit_save(demo_save() / "region", dimensions=["a:b", "a:c"])


def test_an_audit_leaves_the_save_as_it_was(tmp_path: Path) -> None:
    from analyzer.demo.build import build_demo

    build_demo(tmp_path / "save")
    files = sorted(path for path in (tmp_path / "save").rglob("*") if path.is_file())
    before = [(path.read_bytes(), path.stat().st_mtime_ns) for path in files]
    audit_save(tmp_path / "save", catalogues=["quayworks"], every_byte=True)
    after = sorted(path for path in (tmp_path / "save").rglob("*") if path.is_file())
    assert after == files
    assert [(path.read_bytes(), path.stat().st_mtime_ns) for path in files] == before
