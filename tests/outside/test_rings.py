"""Gears in a ring, each in mesh with the next: they turn just if their number is even."""

from __future__ import annotations

import csv
import io
import json
import random
from fractions import Fraction
from pathlib import Path

import pytest

from analyzer.demo.content import place
from tests.outside.removals import RATED_RPM, locked, loop_findings, solved, without
from tests.support.check import Check, Evidence, Source, checked
from tests.support.command import lineshaft
from tests.support.saves import save_of

SUBJECT = "Consistency: loops of couplings"
D1 = Check(
    SUBJECT,
    "D1",
    "rings of 3 to 9 and of 19 gears of any sizes, the last as on a coin of two pounds",
    "turn where the number is even; where it is odd nothing can turn",
    Source(
        Evidence.PUBLISHED,
        "Plus magazine, Coin cogs; sizes do not matter: Coin of the realm, a web log of 2007",
        "plus.maths.org.uk/content/scorm/id/4762/canon_.html;"
        " momscancer.blogspot.com/2007/08/coin-of-realm.html",
    ),
)
BLOCKS = Check(
    SUBJECT,
    "D1 blocks",
    "rings of 4 to 8 gears round one block, built in a save and audited by the command line",
    "4, 6 and 8 turn, 5 and 7 are in conflict",
    D1.source,
)
THREE = Check(
    SUBJECT,
    "D1 three",
    "three gears in one plane, all in contact, built in a save and audited by the command line",
    "none of them can move",
    Source(
        Evidence.PUBLISHED,
        "S. Schleimer, H. Segerman, Triple gear, Bridges 2013, 353-360, abstract",
        "jusur-bridges-atlas.pages.dev/papers/2013/bridges2013-353/",
    ),
)


@checked(D1)
@pytest.mark.parametrize("gears", [3, 4, 5, 6, 7, 8, 9, 19])
@pytest.mark.parametrize("seed", range(3))
def test_a_ring_of_gears_turns_just_if_their_number_is_even(gears: int, seed: int) -> None:
    draw = random.Random(100 * gears + seed)
    teeth = [draw.randint(8, 120) for _ in range(gears)]
    meshes = [(n, n + 1, -Fraction(teeth[n], teeth[n + 1])) for n in range(gears - 1)]
    meshes.append((0, gears - 1, -Fraction(teeth[0], teeth[-1])))
    case = solved(meshes)
    if gears % 2 == 0:
        assert not locked(case)
        assert loop_findings(case) == []
        for n, own in enumerate(teeth):
            assert case.solution.speed_rpm(n) == (-1) ** n * RATED_RPM * Fraction(teeth[0], own)
    else:
        assert locked(case)
        assert case.solution.speed_rpm(0) is None
        (finding,) = loop_findings(case)
        assert finding.witness is not None
        assert (len(finding.witness.parts), finding.witness.product) == (gears, -1)
        for n in range(gears):
            assert not locked(solved(without(meshes, {n})))


# Four wheels stand above, east of, below and west of a block. Either a corner wheel fills a corner
# between two of them, or the two are in mesh across it, by an offset of their own.
WHEELS = ("above", "east", "below", "west")
AT = {"above": (0, 1), "east": (1, 0), "below": (0, -1), "west": (-1, 0)}
TEETH = {"above": 12, "east": 20, "below": 15, "west": 24, "corner": 30, "middle": 12}
HEAD = """
[catalogue]
format = 1
title = "Rings"
namespace = "quayworks"
version = "1"
licence = "MIT"
"""


def _ring(folder: Path, *, cut: int, middle: bool = False) -> tuple[Path, Path]:
    """Write a save with a ring of which some corners are cut, and a catalogue.

    The wheels stand in the plane across the z axis, and the one above is the mover. Own steps up
    and to the right, which is west for a wheel whose axis is z, lead across a corner.
    """
    kinds = dict.fromkeys(TEETH, "")
    blocks = [place((2 + x, 64 + y, 2), f"quayworks:{name}") for name, (x, y) in AT.items()]
    for number, name in enumerate(WHEELS):
        following = WHEELS[(number + 1) % 4]
        (x, y), (east, up) = AT[name], AT[following]
        if number < cut:
            kinds[name] = (
                f"meets = [{{toothed = true, at = [0, {up - y}, {x - east}],"
                f' types = ["quayworks:{following}"]}}]\n'
            )
        elif not middle:
            blocks.append(place((2 + x + east, 64 + y + up, 2), "quayworks:corner"))
    if middle:
        blocks = [*blocks[:2], place((2, 64, 2), "quayworks:middle")]
    text = HEAD
    for name, meets in kinds.items():
        role = "mover" if name == "above" else "transmission"
        text += f'\n[parts."quayworks:{name}"]\nrole = "{role}"\nentity = false\n'
        text += (
            f'pose = {{front = "south"}}\nrim = {{kind = "near", teeth = {TEETH[name]}}}\n{meets}'
        )
        text += "rated_rpm = 60\ntorque = 1\n" if role == "mover" else ""
    catalogue = folder / "rings.toml"
    catalogue.write_text(text, encoding="utf-8")
    return save_of(folder, blocks), catalogue


def _told(save: Path, catalogue: Path) -> tuple[list[str | None], list[int]]:
    """Return state and kind of conflict of the one network, and the length of each loop found."""
    done = lineshaft("audit", save, "--catalogue", catalogue, "--format", "json", "--no-config")
    told = json.loads(done.out)
    (network,) = told["networks"]
    loops = [one for one in told["findings"] if one["rule"] == "loop-conflict"]
    assert done.status == (1 if loops else 0)
    assert [one["witness"]["product_exact"] for one in loops] in ([], ["-1"])
    return [network["state"], network["conflict"]], [len(one["witness"]["parts"]) for one in loops]


@checked(BLOCKS)
@pytest.mark.parametrize("cut", range(5))
def test_a_ring_of_blocks_turns_just_if_its_gears_are_even(cut: int, tmp_path: Path) -> None:
    save, catalogue = _ring(tmp_path, cut=cut)
    gears = 8 - cut
    if gears % 2 == 0:
        assert _told(save, catalogue) == (["turning", None], [])
    else:
        assert _told(save, catalogue) == (["conflicting", "loop"], [gears])
    done = lineshaft("parts", save, "--catalogue", catalogue, "--no-config")
    rows = list(csv.DictReader(io.StringIO(done.out)))
    assert len(rows) == gears
    for row in rows:
        name = row["block"].removeprefix("quayworks:").partition("[")[0]
        sign = _sense(row, cut) if name != "above" else 1
        expected = sign * Fraction(60 * TEETH["above"], TEETH[name])
        assert row["rpm_exact"] == (str(expected) if gears % 2 == 0 else "")


def _sense(row: dict[str, str], cut: int) -> int:
    """Count the meshes from the wheel above, round by the east."""
    here = (int(row["x"]) - 2, int(row["y"]) - 64)
    ring = []
    for number, name in enumerate(WHEELS):
        (x, y), (east, up) = AT[name], AT[WHEELS[(number + 1) % 4]]
        ring += [(x, y)] if number < cut else [(x, y), (x + east, y + up)]
    return (-1) ** ring.index(here)


@checked(THREE)
def test_three_gears_that_all_touch_cannot_move(tmp_path: Path) -> None:
    save, catalogue = _ring(tmp_path, cut=1, middle=True)
    assert _told(save, catalogue) == (["conflicting", "loop"], [3])
