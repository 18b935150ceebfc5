"""Zones that governors join in every way, rings among them: the tool and the judge.

Every zone is a row of through shafts along x, so that all of it turns at one speed. Belts lead
from the governed ports of some of its parts to pulleys of any zone, its own included.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from analyzer.catalogue.load import load_catalogue_text
from analyzer.pipeline.audit import audit_save
from tests.grown.saves import write_build
from tests.grown.told import EVERY_PLACE, check_proofs, judged, told
from tests.grown.toml_text import toml_text
from tests.judge.placed import Placement
from tests.judge.plain import judge, read_catalogue
from tests.judge.stored import Tagged
from tests.judge.verdicts import Verdict
from tests.judge.views import EVERYTHING

WEBS = 1200
#: Rows of two zones do not touch, and webs do not either.
BETWEEN_ROWS, BETWEEN_WEBS = 2, 16
SPEEDS = {"0": 4, "1": 4, "2": 8, "3": -4, "4": 0}


def _catalogue() -> dict[str, Any]:
    heading = {
        "format": 1,
        "title": "Webs",
        "namespace": "quayworks",
        "version": "1",
        "licence": "MIT",
    }
    shaft = {
        "entity": ["quayworks:drive"],
        "pose": {"facing": "facing"},
        "ends": {"front": 1, "back": -1},
    }
    pace = {"property": "pace", "values": SPEEDS}
    parts = {
        "quayworks:pulley": {**shaft, "role": "transmission", "link": {}},
        "quayworks:wheel": {**shaft, "role": "mover", "rated_rpm": pace, "torque": 8},
        "quayworks:loom": {**shaft, "role": "machine", "torque": Decimal("1.5")},
    }
    partner = {"stored": "To", "form": "list"}
    for sense in ("own", "follow"):
        for crossed in (False, True):
            name = f"quayworks:{sense}_{'crossed' if crossed else 'open'}"
            parts[name] = {
                **shaft,
                "role": "transmission",
                "link": {"crossed": crossed, "partner": partner},
                "governor": {"port": "link", "set_rpm": pace, "sense": sense},
            }
    return {"catalogue": heading, "parts": parts}


def _web(rng: random.Random, origin: tuple[int, int, int]) -> Iterator[Placement]:
    """Yield the blocks of one web: each zone's row begins with a pulley."""
    x, y, z = origin
    pulleys = [(x, y, z + BETWEEN_ROWS * row) for row in range(rng.randint(1, 5))]
    movers, ring = rng.choice([0.3, 0.6, 1]), rng.random() < 0.4
    paces = rng.choice(["0", "001", "00123", "0004", "04"])
    for row, at in enumerate(pulleys):
        names = ["pulley"]
        names += ["wheel"] * (rng.random() < movers) + ["loom"] * rng.randint(0, 1)
        governors = rng.randint(0, 2)
        names += rng.choices(["own_open", "follow_open", "follow_crossed"], [1, 3, 1], k=governors)
        for step, name in enumerate(names):
            data: dict[str, Any] = {"id": "quayworks:drive"}
            target = pulleys[(row + 1) % len(pulleys)] if ring else rng.choice(pulleys)
            if "_" in name:
                data["To"] = Tagged("int_array", target)
            properties = {
                "facing": rng.choice(["east", "east", "east", "west"]),
                "pace": rng.choice(paces),
            }
            place = (at[0] + step, at[1], at[2])
            yield Placement("minecraft:overworld", place, f"quayworks:{name}", properties, data)


def _webs() -> list[Placement]:
    rng = random.Random(7)
    return [
        block
        for number in range(WEBS)
        for block in _web(rng, (BETWEEN_WEBS * (number % 25), 70, BETWEEN_WEBS * (number // 25)))
    ]


def test_governors_between_zones_do_what_the_judge_says(tmp_path: Path) -> None:
    build = _webs()
    text = toml_text(_catalogue())
    verdicts = judge([read_catalogue(text)], build)
    write_build(tmp_path, build, data_version=EVERYTHING.data_version)
    catalogues = load_catalogue_text(text, "webs")
    audit = audit_save(tmp_path, catalogues=catalogues, policy=EVERY_PLACE)
    for tool, of_judge in zip(told(audit), judged(verdicts), strict=True):
        assert tool == of_judge
    check_proofs(audit, verdicts)
    _check_mix(verdicts)


def _check_mix(verdicts: list[Verdict]) -> None:
    found = Counter(verdict.conflict or verdict.state for verdict in verdicts if verdict.drives)
    assert min(found[name] for name in ("turning", "governors", "movers")) >= 50
    turning = [verdict for verdict in verdicts if verdict.state == "turning"]
    assert sum(1 for verdict in turning if len(verdict.zones) > 2 and verdict.driven) >= 50
    assert sum(1 for verdict in turning if verdict.held) >= 20
