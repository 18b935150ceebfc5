"""Auditing against a former report."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.command import lineshaft
from tests.support.saves import save_of
from tests.support.schemas import check_document
from tests.support.sketch import sketch

OPTIONS = ("--catalogue", "quayworks", "--only", "overload")
OVERLOADED = "wheel:e lathe:x lathe:x lathe:x lathe:x lathe:x"
SOUND = "wheel:e lathe:x"


def yard(folder: Path, *builds: str) -> Path:
    placements = [
        one for row, build in enumerate(builds) for one in sketch(build, at=(2, 64, 2 + 4 * row))
    ]
    return save_of(folder, placements)


@pytest.fixture
def baseline(tmp_path: Path) -> Path:
    """The report of a yard whose first hall is overloaded."""
    path = tmp_path / "report.json"
    save = yard(tmp_path / "before", OVERLOADED, SOUND)
    done = lineshaft("audit", save, *OPTIONS, "--format", "json", "--output", path)
    assert done.status == 1
    return path


def test_a_known_finding_does_not_fail(tmp_path: Path, baseline: Path) -> None:
    save = yard(tmp_path, OVERLOADED, SOUND)
    done = lineshaft("audit", save, *OPTIONS, "--baseline", baseline)
    assert done.status == 0
    assert "error: overload" in done.out
    assert "Against the baseline: 1 known, 0 new, 0 gone\n" in done.out


def test_a_new_finding_fails_and_is_named(tmp_path: Path, baseline: Path) -> None:
    save = yard(tmp_path, OVERLOADED, OVERLOADED)
    done = lineshaft("audit", save, *OPTIONS, "--baseline", baseline)
    assert done.status == 1
    assert "Against the baseline: 1 known, 1 new, 0 gone\n" in done.out
    assert "  new: error: overload at 3 64 6 in minecraft:overworld\n" in done.out
    assert lineshaft("audit", save, *OPTIONS, "--baseline", baseline, "--fail-on=never").status == 0


def test_a_finding_that_is_gone_is_listed_and_does_not_fail(tmp_path: Path, baseline: Path) -> None:
    save = yard(tmp_path, SOUND, SOUND)
    done = lineshaft("audit", save, *OPTIONS, "--baseline", baseline)
    assert done.status == 0
    assert "  gone: error: overload at 3 64 2 in minecraft:overworld\n" in done.out


def test_the_document_tells_known_new_and_gone(tmp_path: Path, baseline: Path) -> None:
    save = yard(tmp_path, SOUND, OVERLOADED)
    done = lineshaft("audit", save, *OPTIONS, "--baseline", baseline, "--format", "json")
    document = check_document(done.out, "audit")
    (new,) = document["findings"]
    former = check_document(baseline.read_text("utf-8"), "audit")
    (gone,) = former["findings"]
    assert former["baseline"] is None
    assert document["baseline"] == {
        "known": [],
        "new": [new["fingerprint"]],
        "gone": [
            {
                key: gone[key]
                for key in (
                    "fingerprint",
                    "rule",
                    "level",
                    "dimension",
                    "network",
                    "at",
                    "message",
                )
            }
        ],
        "not_judged": [],
    }


def test_what_is_not_judged_is_not_called_gone(tmp_path: Path, baseline: Path) -> None:
    save = yard(tmp_path, OVERLOADED, SOUND)
    options = ("--catalogue", "quayworks", "--ignore", "overload", "--baseline", baseline)
    done = lineshaft("audit", save, *options)
    assert "0 new, 0 gone, 1 not judged this time\n" in done.out
    assert "  not judged: error: overload at 3 64 2 in minecraft:overworld\n" in done.out


@pytest.mark.parametrize("text", [None, "", "[]", '{"schema_version": 99, "findings": []}'])
def test_a_bad_baseline_ends_with_2_and_says_why(tmp_path: Path, text: str | None) -> None:
    path = tmp_path / "report.json"
    if text is not None:
        path.write_text(text, "utf-8")
    done = lineshaft("audit", yard(tmp_path, SOUND), *OPTIONS, "--baseline", path)
    assert (done.status, done.out) == (2, "")
    assert f"lineshaft: {path}: " in done.err


def test_a_former_report_steers_no_terminal(tmp_path: Path, baseline: Path) -> None:
    text = baseline.read_text("utf-8")
    baseline.write_text(text.replace('"overload"', '"over\\u001b[2Jload"'), "utf-8")
    done = lineshaft("audit", yard(tmp_path, SOUND), *OPTIONS, "--baseline", baseline)
    assert "gone: error: over\\x1b[2Jload" in done.out
    assert "\x1b" not in done.out


def test_the_report_may_replace_its_own_baseline(tmp_path: Path, baseline: Path) -> None:
    save = yard(tmp_path, OVERLOADED, OVERLOADED)
    again = (*OPTIONS, "--baseline", baseline, "--format", "json", "--output", baseline)
    assert lineshaft("audit", save, *again).status == 1
    assert lineshaft("audit", save, *again).status == 0
