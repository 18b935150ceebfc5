"""Every way in which two parts can lie to each other, without exception: the tool and the judge."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from analyzer.catalogue.load import load_catalogue_text
from analyzer.pipeline.audit import audit_save
from tests.grown.lies import POSES
from tests.grown.saves import write_build
from tests.grown.told import EVERY_PLACE, judged, told
from tests.grown.toml_text import toml_text
from tests.judge.placed import Placement
from tests.judge.plain import judge, read_catalogue
from tests.judge.poses import in_world
from tests.judge.vectors import WORLD, add, cross
from tests.judge.verdicts import Verdict

CUBE = [step for step in itertools.product((-1, 0, 1), repeat=3) if step != (0, 0, 0)]
LIES = [{"when": {"lie": f"{front}_{top}"}, "front": front, "top": top} for front, top in POSES]
#: So far apart that no part of one pair reaches another pair.
APART = 10
Pair = tuple[tuple[str, str], tuple[str, str], tuple[int, int, int]]


def _agreed(parts: dict[str, dict[str, Any]], pairs: list[Pair], folder: Path) -> list[Verdict]:
    """Lay pairs of (block, pose) out far from each other; return what both sides say of them."""
    heading = {
        "format": 1,
        "title": "Pairs",
        "namespace": "quayworks",
        "version": "1",
        "licence": "MIT",
    }
    entries = {
        name: {"entity": False, "pose": {"cases": LIES}, **entry} for name, entry in parts.items()
    }
    text = toml_text({"catalogue": heading, "parts": entries})
    build = list(_laid_out(pairs))
    write_build(folder, build)
    verdicts = judge([read_catalogue(text)], build)
    catalogues = load_catalogue_text(text, "pairs")
    audit = audit_save(folder, catalogues=catalogues, policy=EVERY_PLACE)
    for tool, judges in zip(told(audit), judged(verdicts), strict=True):
        assert tool == judges
    return verdicts


def _laid_out(pairs: list[Pair]) -> Iterator[Placement]:
    for number, (first, second, step) in enumerate(pairs):
        at = (APART * (number % 50) - 100, 100, APART * (number // 50) - 100)
        for (block, lie), place in ((first, at), (second, add(at, step))):
            yield Placement("minecraft:overworld", place, block, {"lie": lie})


def test_rims_mesh_in_their_placements_and_in_no_other(tmp_path: Path) -> None:
    parts = {}
    for kind, role in itertools.product(("near", "far"), ("mover", "transmission")):
        driving = {"rated_rpm": 6, "torque": 1} if role == "mover" else {}
        teeth = 10 if role == "mover" else 15
        rim = {"kind": kind, "teeth": teeth}
        parts[f"quayworks:{kind}_{role}"] = {"role": role, "rim": rim, **driving}
    wheels = list(itertools.product(("near", "far"), ("east_up", "up_south", "north_up")))
    pairs = [
        ((f"quayworks:{first}_mover", lie), (f"quayworks:{second}_transmission", other), step)
        for (first, lie), (second, other), step in itertools.product(wheels, wheels, CUBE)
    ]
    meshed = [verdict for verdict in _agreed(parts, pairs, tmp_path) if len(verdict.members) == 2]
    # Beside: 3 axes, 4 neighbours. Diagonal: 3 axes, 4 edges, either one far. Crossed: 6 ordered
    # pairs of axes, 4 edges.
    assert len(meshed) == 3 * 4 + 3 * 4 * 2 + 6 * 4
    assert {abs(speed) for verdict in meshed for speed in verdict.speeds.values()} == {4, 6}


def test_ends_join_face_to_face_in_every_pair_of_poses(tmp_path: Path) -> None:
    factors = {"front": 1, "back": -2, "top": 3, "bottom": -5, "right": 7}
    parts = {
        "quayworks:turning_box": {
            "role": "mover",
            "ends": factors,
            "rated_rpm": 210,
            "torque": 1,
        },
        "quayworks:turned_box": {
            "role": "transmission",
            "ends": {side: -factor for side, factor in reversed(factors.items())},
        },
    }
    lies = [f"{front}_{top}" for front, top in POSES]
    steps = [step for step in CUBE if sum(map(abs, step)) == 1]
    pairs = [
        (("quayworks:turning_box", lie), ("quayworks:turned_box", other), steps[number % 6])
        for number, (lie, other) in enumerate(itertools.product(lies, repeat=2))
    ]
    pairs += [(first, second, steps[number % 5]) for number, (first, second, _) in enumerate(pairs)]
    joined = [verdict for verdict in _agreed(parts, pairs, tmp_path) if len(verdict.members) == 2]
    # Five of six sides have an end, on either part.
    assert len(joined) > len(pairs) / 2
    speeds = {abs(speed) for verdict in joined for speed in verdict.speeds.values()}
    assert speeds == {Fraction(210 * a, b) for a in (1, 2, 3, 5, 7) for b in (1, 2, 3, 5, 7)}


def test_own_offsets_and_other_cells_reach_where_they_should_in_every_pose(tmp_path: Path) -> None:
    toothed = {"types": ["quayworks:met"], "toothed": True}
    cells = {"front": {"factor": 1, "cell": [1, 2, 0]}, "left": {"factor": -2, "cell": [0, 0, -1]}}
    parts: dict[str, dict[str, Any]] = {
        "quayworks:lister": {
            "role": "mover",
            "rated_rpm": 12,
            "torque": 1,
            "rim": {"kind": "near", "teeth": 10, "cell": [0, -1, 2]},
            "ends": cells,
            "meets": [
                {"at": [1, 2, 0], **toothed, "contact": [0, 2, 0]},
                {"at": [0, 2, 1], "types": ["quayworks:met"], "ratio": [-5, 3]},
                {"at": [0, 0, -3], **toothed},
            ],
        },
        "quayworks:met": {
            "role": "transmission",
            "rim": {"kind": "near", "teeth": 15},
            "ends": {"back": {"factor": -1, "cell": [0, 0, 1]}, "right": 3},
        },
    }
    lies = [f"{front}_{top}" for front, top in POSES]
    steps = [(1, 2, 0), (0, 2, 1), (0, 0, -3), (2, 2, -1), (0, -2, 2), (0, -1, 1), (0, 0, -2)]
    pairs = []
    for lie, other in itertools.product(lies, repeat=2):
        front, top = (WORLD[name] for name in lie.split("_"))
        for step in steps:
            way = in_world(list(step), (front, top, cross(front, top)))
            pairs.append((("quayworks:lister", lie), ("quayworks:met", other), way))
    verdicts = _agreed(parts, pairs, tmp_path)
    ports = Counter(coupling.port for verdict in verdicts for coupling in verdict.couplings)
    # For each of the lister's 24 poses, those of the other with a parallel axis are 8; the axis
    # across that of the contact's plane leaves another 8.
    assert ports["offset"] == 24 * (8 + 8 + 8)
    assert ports["rim"] == 24 * 8 * 2
    assert ports["front"] > 0
    assert ports["left"] > 0
