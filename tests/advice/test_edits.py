"""What edits come to: the same as a save in which the change was built."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from analyzer.advice.advice import Outline
from analyzer.advice.outline import outlines_of
from analyzer.advice.workbench import Workbench
from analyzer.base.errors import UsageError
from analyzer.findings.audit import Audit
from analyzer.pipeline.advise import try_changes
from analyzer.pipeline.audit import audit_save
from tests.support.saves import save_of
from tests.support.sketch import sketch

HALL = """
.        .       .        b24:x     .
wheel:e  clutch:x,lever=out shaft:x t12:x picker:e
---
.        .       tread:n,walkers=2 .  .
.        .       .        .         .
"""


def audited(folder: Path, text: str, data: Mapping[str, Mapping[str, Any]] | None = None) -> Audit:
    """Audit a save built after a sketch."""
    folder.mkdir(exist_ok=True)
    return audit_save(save_of(folder, sketch(text, data=data)), catalogues=["quayworks"])


def whole(audit: Audit) -> list[Outline]:
    """Return the outlines of all networks, judged as on a workbench."""
    found = outlines_of(Workbench.of_networks(audit, range(len(audit.networks))).before)
    return [replace(one, findings=tuple(map(_bare, one.findings))) for one in found]


def _bare(finding: Any) -> Any:
    return replace(finding, network=None)


@pytest.mark.parametrize(
    ("change", "old", "new"),
    [
        ("set 3 64 3 lever=in", "lever=out", "lever=in"),
        ("remove 4 64 3", "shaft:x t12:x", ". t12:x"),
        ("flip 2 64 3", "wheel:e", "wheel:w"),
        ("put 4 64 3 quayworks:spar_lathe[axis=x]", "shaft:x t12", "lathe:x t12"),
        ("put 5 64 3 quayworks:trundle_15[axis=x]", "t12:x", "t15:x"),
        ("put 4 64 2 quayworks:edge_stone[axis=x]", ".       b24:x", "stone:x b24:x"),
        ("stop 4 65 2", "walkers=2", "walkers=0"),
        ("set 4 65 2 walkers=3,facing=south", "tread:n,walkers=2", "tread:s,walkers=3"),
        ("put 3 64 2 quayworks:line_shaft[axis=z] in minecraft:overworld", ".  .  b24", "b24"),
    ],
)
def test_a_change_comes_to_what_the_same_change_built_comes_to(
    change: str, old: str, new: str, tmp_path: Path
) -> None:
    before = audited(tmp_path / "before", HALL)
    squeezed = "\n".join(" ".join(line.split()) for line in HALL.strip().splitlines())
    old, new = " ".join(old.split()), " ".join(new.split())
    if change.startswith("put 3 64 2"):
        old, new = ". . . b24", ". shaft:z . b24"
    if change.startswith("put 4 64 2"):
        old, new = ". . . b24", ". . stone:x b24"
    assert squeezed.count(old) == 1
    after = audited(tmp_path / "after", squeezed.replace(old, new))
    trial = try_changes(before, [change])
    expected = {one.id: one for one in whole(after)}
    untouched = {one.id: one for one in whole(before)}
    for one in trial.after:
        plain = replace(one, findings=tuple(map(_bare, one.findings)))
        assert plain == expected.pop(one.id)
    # What the trial does not tell of is as it was.
    told = {one.id for one in trial.before}
    assert expected == {key: one for key, one in untouched.items() if key not in told}
    assert trial.before or change.startswith("put")


def test_a_governor_and_a_mover_store_other_numbers(tmp_path: Path) -> None:
    text = "sluice:e balls:e layer:e"
    data = {"sluice:e": {"Gate": {"Notches": 24}}, "balls:e": {"Balls": {"Rpm": 6}}}
    before = audited(tmp_path / "before", text, data)
    data = {"sluice:e": {"Gate": {"Notches": -20}}, "balls:e": {"Balls": {"Rpm": 4}}}
    after = audited(tmp_path / "after", text, data)
    trial = try_changes(before, ["store 2 64 2 rated_rpm=-10", "store 3 64 2 set_rpm=4"])
    found = [replace(one, findings=tuple(map(_bare, one.findings))) for one in trial.after]
    assert found == whole(after)
    assert found != whole(before)


def test_movers_alongside_give_as_much_each(tmp_path: Path) -> None:
    audit = audited(tmp_path, "wheel:e layer:e layer:e layer:e layer:e layer:e")
    trial = try_changes(audit, ["alongside 2 64 2 2"])
    (before,), (after,) = trial.before, trial.after
    assert (before.capacity_power, after.capacity_power) == (256, 768)
    assert (str(before.state), str(after.state)) == ("overloaded", "turning")


def test_a_coupling_undone_parts_a_network(tmp_path: Path) -> None:
    audit = audited(tmp_path, "wheel:e layer:e layer:e")
    trial = try_changes(audit, ["cut 3 64 2 4 64 2"])
    assert len(trial.before) == 1
    assert [(one.parts, str(one.state)) for one in trial.after] == [(2, "turning"), (1, "idle")]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("", "an empty change"),
        ("burn 1 2 3", "'burn' is no change"),
        ("remove 1 2", "three whole numbers"),
        ("remove 1 2 99999999999", "three whole numbers"),
        ("remove 1 2 3 4", "too much"),
        ("remove 9 64 9", "no part stands at 9 64 9"),
        ("remove 2 64 2 in minecraft:the_end", "no dimension minecraft:the_end was read"),
        ("put 2 64 2 quayworks:nothing", "in no catalogue"),
        ("put 2 64 2 quayworks:line_shaft[axis=q]", "is no part"),
        ("put 2 64 2 quayworks:line_shaft[axis", "not of the form"),
        ("put 2 64 2", "a block is needed"),
        ("put 2 64 2 quayworks:tide_wheel[facing=east]{rated_rpm=9}", "is not stored"),
        ("set 2 64 2 lever=in", "has no property lever"),
        ("set 2 64 2 facing", "name=value"),
        ("set 2 64 2", "nothing is given"),
        ("store 2 64 2 rated_rpm=9", "is not stored"),
        ("store 2 64 2 weight=9", "is no number of a part"),
        ("store 2 64 2 torque=much", "is no number such as"),
        ("store 3 64 2 torque=9", "has no torque"),
        ("flip 3 64 2", "cannot be turned round"),
        ("stop 2 64 2", "cannot be switched"),
        ("stop 3 64 2", "does not drive at all"),
        ("alongside 3 64 2 1", "no movers can be put alongside"),
        ("alongside 2 64 2 many", "a count of movers"),
        ("cut 2 64 2 4 64 2", "not coupled"),
        ("cut 2 64 2 9 64 2", "no part stands at 9 64 2"),
        ("cut 2 64 2", "three whole numbers"),
    ],
)
def test_a_change_that_cannot_be_made_says_why(change: str, says: str, tmp_path: Path) -> None:
    audit = audited(tmp_path, "wheel:e shaft:x layer:e")
    with pytest.raises(UsageError, match=says):
        try_changes(audit, [change])
