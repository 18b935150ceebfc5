"""Catalogues tried by written saves, from the command line to the verdict."""

from __future__ import annotations

from pathlib import Path

import pytest
from nbtlib import Float

from analyzer import audit_save
from analyzer.demo.content import place
from analyzer.pipeline.trial import trial_save
from tests.support.command import lineshaft
from tests.support.saves import save_of

CATALOGUE = """
[catalogue]
format = 1
title = "Sketch"
namespace = "sketch"
version = "1"
licence = "MIT"

[parts."sketch:crank"]
role = "mover"
entity = ["sketch:crank"]
pose = {{facing = "facing"}}
ends = {{front = 1}}
rated_rpm = 8
torque = 8
recorded_rpm = {{stored = "Speed", about = "front"}}

[parts."sketch:cog"]
role = "transmission"
entity = ["sketch:gear"]
pose = {{axis = "axis"}}
ends = {{front = 1, back = -1}}
rim = {{kind = "near", teeth = {cog}}}
recorded_rpm = {{stored = "Speed", about = "axis"}}

[parts."sketch:wheel"]
role = "transmission"
entity = ["sketch:gear"]
pose = {{axis = "axis"}}
ends = {{front = 1, back = -1}}
rim = {{kind = "near", teeth = 36}}
recorded_rpm = {{stored = "Speed", about = "axis"}}

[parts."sketch:drum"]
role = "transmission"
entity = ["sketch:gear"]
pose = {{axis = "axis"}}
rim = {{kind = "near", teeth = 20}}
recorded_rpm = {{stored = "Speed", about = "axis"}}
"""


def catalogue(folder: Path, *, cog: int) -> Path:
    file = folder / f"cog-{cog}.toml"
    file.write_text(CATALOGUE.format(cog=cog), "utf-8")
    return file


def halls(folder: Path, count: int) -> Path:
    """Cranks that face west, each on a cog of 15 teeth between a wheel of 36 and a drum of 20.

    By hand: the crank turns at 8 rpm about west, so at -8 rpm about east; the cog with it; the
    wheel at 8 * 15 / 36 = 10/3 rpm, the drum at 8 * 15 / 20 = 6 rpm.
    """
    blocks = []
    for number in range(count):
        z = 4 * number
        for state, at, entity, rpm in (
            ("crank[facing=west]", (2, 64, z), "crank", 8),
            ("cog[axis=x]", (1, 64, z), "gear", -8),
            ("wheel[axis=x]", (1, 65, z), "gear", 10 / 3),
            ("drum[axis=x]", (1, 63, z), "gear", 6),
        ):
            data = {"id": f"sketch:{entity}", "Speed": Float(rpm)}
            blocks.append(place(at, f"sketch:{state}", data))
    return save_of(folder, blocks)


def test_a_right_catalogue_describes_the_save(tmp_path: Path) -> None:
    save = halls(tmp_path, 20)
    done = lineshaft("catalogue", "check", catalogue(tmp_path, cog=15), "--against", save)
    assert done.status == 0
    assert "The catalogue describes this save" in done.out
    assert "80 parts with a recorded speed; 60 coupled pairs" in done.out


def test_a_wrong_tooth_count_ends_with_status_1_and_names_it(tmp_path: Path) -> None:
    save = halls(tmp_path, 20)
    done = lineshaft("catalogue", "check", catalogue(tmp_path, cog=12), "--against", save)
    assert done.status == 1
    assert "sketch:cog: recorded speeds fit 15 teeth, the catalogue says 12" in done.out
    rows = [line.split() for line in done.out.splitlines()]
    assert ["sketch:cog", "mesh", "0", "0", "40", "-3/4,", "not", "-3/5"] in rows
    assert ["sketch:cog", "shaft", "20", "0", "0"] in rows
    assert "The catalogue does not describe this save: sketch:cog.\n" in done.out


def test_too_few_pairs_are_said_and_end_with_status_0(tmp_path: Path) -> None:
    save = halls(tmp_path, 6)
    done = lineshaft("catalogue", "check", catalogue(tmp_path, cog=12), "--against", save)
    assert done.status == 0
    assert "Too little is recorded to tell" in done.out


@pytest.mark.parametrize(("cog", "rules"), [(15, []), (12, ["catalogue-mismatch"])])
def test_an_audit_counts_the_same(tmp_path: Path, cog: int, rules: list[str]) -> None:
    save = halls(tmp_path, 20)
    file = str(catalogue(tmp_path, cog=cog))
    audit = audit_save(save, catalogues=[file])
    about_records = [
        finding.rule
        for finding in audit.findings.items
        if finding.rule in ("catalogue-mismatch", "stale-record")
    ]
    assert about_records == rules
    assert (trial_save(save, [file]).trial.describes is False) is bool(rules)
