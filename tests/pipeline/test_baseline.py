"""Holding an audit against a former report."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from analyzer.base.errors import UsageError
from analyzer.base.place import Block
from analyzer.base.policy import Policy
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Findings
from analyzer.findings.ignores import Ignore
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.baseline import compare_with
from analyzer.pipeline.baseline_load import load_baseline
from analyzer.pipeline.ignores import set_aside
from analyzer.report.audit_json import iter_audit_json
from analyzer.report.baseline import FormerFinding
from tests.support.demo import demo_audit, demo_save
from tests.support.saves import save_of
from tests.support.sketch import sketch

OVERWORLD = "minecraft:overworld"
HALL = f"{OVERWORLD}:3,64,24"


def report(folder: Path, audit: Audit) -> Path:
    path = folder / "report.json"
    path.write_text("".join(iter_audit_json(audit)), "utf-8")
    return path


def gone_one(**changes: Any) -> FormerFinding:
    """A finding of a former report that no audit of the demo has."""
    former = FormerFinding(
        fingerprint="0" * 16,
        rule="overload",
        level="error",
        dimension=OVERWORLD,
        network=f"{OVERWORLD}:0,200,0",
        at=Block(0, 200, 0),
        message="",
    )
    return replace(former, **changes)


def test_an_audit_against_its_own_report_has_nothing_new_and_nothing_gone(tmp_path: Path) -> None:
    found = compare_with(demo_audit(), load_baseline(report(tmp_path, demo_audit())))
    assert found.known == demo_audit().findings.items
    assert (found.new, found.gone, found.not_judged) == ((), (), ())


def test_against_an_empty_report_everything_is_new(tmp_path: Path) -> None:
    nothing = replace(demo_audit(), findings=Findings(()))
    found = compare_with(demo_audit(), load_baseline(report(tmp_path, nothing)))
    assert found.new == demo_audit().findings.items
    assert found.known == ()


def test_what_was_mended_is_gone_and_what_broke_is_new(tmp_path: Path) -> None:
    broken = "wheel:e lathe:x lathe:x lathe:x lathe:x lathe:x"
    sound = "wheel:e lathe:x lathe:x"
    audits = []
    for name, builds in (("old", (broken, sound)), ("new", (sound, broken))):
        placements = [
            one
            for row, build in enumerate(builds)
            for one in sketch(build, at=(2, 64, 2 + 4 * row))
        ]
        save = save_of(tmp_path / name, placements)
        audits.append(audit_save(save, catalogues=["quayworks"], policy=Policy()))
    found = compare_with(audits[1], load_baseline(report(tmp_path, audits[0])))
    assert [one.at for one in found.gone if one.rule == "overload"] == [Block(3, 64, 2)]
    assert [one.at for one in found.new if one.rule == "overload"] == [Block(3, 64, 6)]


def test_what_is_ignored_now_is_neither_gone_nor_known(tmp_path: Path) -> None:
    former = load_baseline(report(tmp_path, demo_audit()))
    audit = set_aside(demo_audit(), [Ignore(reason="in repair", rule="overload", network=HALL)])
    found = compare_with(audit, former)
    assert (found.new, found.gone) == ((), ())
    assert len(found.known) == len(former) - 1


def test_what_was_ignored_then_is_new_once_it_no_longer_is(tmp_path: Path) -> None:
    audit = set_aside(demo_audit(), [Ignore(reason="in repair", rule="overload", network=HALL)])
    found = compare_with(demo_audit(), load_baseline(report(tmp_path, audit)))
    assert [one.rule for one in found.new] == ["overload"]


def test_what_was_not_looked_at_is_not_called_gone() -> None:
    here = demo_audit()
    off = replace(here, policy=Policy(off=frozenset({"overload"})))
    elsewhere = gone_one(dimension="quay:loft")
    whole = gone_one(dimension=None, network=None, at=None, rule="nothing-known")
    for audit, former, gone in (
        (here, gone_one(), True),
        (here, whole, True),
        (off, gone_one(), False),
        (here, gone_one(rule="nearly-coupled"), False),
        (here, elsewhere, False),
    ):
        found = compare_with(audit, [former])
        assert (found.gone, found.not_judged) == (((former,), ()) if gone else ((), (former,)))


def test_what_lies_in_an_unreadable_chunk_is_not_called_gone() -> None:
    fault = next(one for one in demo_audit().scan.coverage.faults if one.chunk is not None)
    assert fault.chunk is not None
    at = Block(16 * fault.chunk.cx, 64, 16 * fault.chunk.cz)
    former = gone_one(at=at, dimension=fault.dimension)
    assert compare_with(demo_audit(), [former]).not_judged == (former,)


def test_with_a_box_only_what_it_selects_can_be_gone() -> None:
    box = (Block(3, 64, 24), Block(8, 64, 24))
    audit = audit_save(demo_save(), catalogues=["quayworks"], box=box)
    inside, outside = gone_one(at=Block(4, 64, 24)), gone_one(at=Block(-28, 64, -10))
    found = compare_with(audit, [inside, outside, gone_one()])
    assert found.gone == (inside,)
    assert found.not_judged == (outside, gone_one())


def document() -> dict[str, Any]:
    return json.loads("".join(iter_audit_json(demo_audit())))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "3",
        "{}",
        '{"schema_version": 1}',
        '{"schema_version": 1, "findings": {}}',
        '{"schema_version": 1, "findings": [3]}',
        '{"schema_version": 1, "findings": [{}]}',
        '{"schema_version": 2, "findings": []}',
        "[" * 100_000,
        "9" * 5_000,
    ],
)
def test_a_file_that_is_no_report_is_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "report.json"
    path.write_text(text, "utf-8")
    with pytest.raises(UsageError) as caught:
        load_baseline(path)
    assert str(path) in str(caught.value)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("fingerprint", None),
        ("rule", 3),
        ("level", []),
        ("at", [1, 2]),
        ("at", "abc"),
        ("at", [1, 2, 3.5]),
        ("at", [1, 2, 10**30]),
        ("dimension", 7),
        ("message", None),
    ],
)
def test_a_finding_that_was_altered_is_refused(tmp_path: Path, key: str, value: object) -> None:
    altered = document()
    altered["findings"][0][key] = value
    path = tmp_path / "report.json"
    path.write_text(json.dumps(altered), "utf-8")
    with pytest.raises(UsageError, match="a finding in it is not as it was written"):
        load_baseline(path)


def test_a_missing_file_bytes_and_a_survey_are_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="cannot be read"):
        load_baseline(tmp_path / "none.json")
    (tmp_path / "bytes.json").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(UsageError, match="is not JSON"):
        load_baseline(tmp_path / "bytes.json")
    (tmp_path / "survey.json").write_text('{"schema_version": 1, "entities": []}', "utf-8")
    with pytest.raises(UsageError, match="is not the report of an audit"):
        load_baseline(tmp_path / "survey.json")
