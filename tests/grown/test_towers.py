"""Speeds that spread so far that they cannot be given: the tool and the judge at the very limit."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from analyzer.catalogue.load import load_catalogue_text
from analyzer.pipeline.audit import audit_save
from tests.grown.saves import write_build
from tests.grown.told import EVERY_PLACE, judged, told
from tests.grown.toml_text import toml_text
from tests.judge.placed import Placement
from tests.judge.plain import judge, read_catalogue
from tests.judge.verdicts import Verdict

HEADING = {
    "format": 1,
    "title": "Towers",
    "namespace": "quayworks",
    "version": "1",
    "licence": "MIT",
    "speed_limit_rpm": 10,
}
UPRIGHT: dict[str, Any] = {"entity": False, "pose": {"front": "up"}}


def _tower(tmp_path: Path, boxes: list[str], top: dict[str, Any] | None = None) -> list[Verdict]:
    """Judge a tower of a mover and boxes, by their factors, and let the tool tell of it."""
    parts: dict[str, dict[str, Any]] = {
        "quayworks:mover": {
            **UPRIGHT,
            "role": "mover",
            "ends": {"front": 1},
            "rated_rpm": 3,
            "torque": 2,
        }
    }
    for name in sorted(set(boxes)):
        ends = {"back": -1, "front": int(name)}
        parts[f"quayworks:box_{name}"] = {**UPRIGHT, "role": "transmission", "ends": ends}
    row = ["mover", *(f"box_{name}" for name in boxes)]
    if top is not None:
        parts["quayworks:top"] = {**UPRIGHT, **top}
        row.append("top")
    build = [
        Placement("minecraft:overworld", (0, y - 60, 0), f"quayworks:{name}", {})
        for y, name in enumerate(row)
    ]
    text = toml_text({"catalogue": HEADING, "parts": parts})
    write_build(tmp_path, build)
    audit = audit_save(tmp_path, catalogues=load_catalogue_text(text, "tower"), policy=EVERY_PLACE)
    verdicts = judge([read_catalogue(text)], build)
    assert told(audit) == judged(verdicts)
    return verdicts


@pytest.mark.parametrize(("last", "beyond"), [("65536", False), ("65537", True)])
def test_speeds_may_lie_two_to_the_256_apart_and_no_farther(
    last: str, beyond: bool, tmp_path: Path
) -> None:
    # The mover and the first box turn at 3 rpm, the last box 2^(24 * 10) * 2^16 times as fast.
    boxes = [str(2**24)] * 10 + [last, "1"]
    (network,) = _tower(tmp_path, boxes)
    assert network.state == "turning"
    assert bool(network.out_of_range) == beyond
    fastest = network.speeds["minecraft:overworld", (0, -48, 0)]
    assert fastest == (None if beyond else Fraction(3) * 2**256)
    assert len(network.over_speed) == (0 if beyond else 11)


def test_a_machine_on_a_tower_out_of_range_asks_for_nobody_knows_what(tmp_path: Path) -> None:
    loom = {"role": "machine", "torque": 1, "ends": {"back": -1}, "least_rpm": 4}
    (network,) = _tower(tmp_path, ["1000000000"] * 9, loom)
    assert (network.demand, network.state, network.too_slow) == (None, "turning", frozenset())


def test_a_tower_out_of_range_may_drive_a_governor(tmp_path: Path) -> None:
    governor = {
        "role": "transmission",
        "ends": {"back": -1, "front": 1},
        "governor": {"port": "back", "set_rpm": 5, "sense": "own"},
    }
    (network,) = _tower(tmp_path, ["1000000000"] * 9, governor)
    # It looks the wrong way: its own side is the one above, where nothing drives it.
    assert network.speeds["minecraft:overworld", (0, -50, 0)] == 0
    governor["governor"]["port"] = "front"
    (network,) = _tower(tmp_path / "up", ["1000000000"] * 9, governor)
    assert network.out_of_range == set(network.members)
