"""Random catalogues, as text, and what a build needs to know to use them.

A recipe's blocks are invented at random from a seed: roles, poses, ends, rims, belts, switches,
governors, own offsets and numbers of every kind that the catalogue format has.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from tests.grown.entries import make_entry
from tests.grown.meetings import add_meetings
from tests.grown.number_maker import Stored
from tests.grown.tastes import Taste, make_taste
from tests.grown.toml_text import toml_text
from tests.judge.plain import read_catalogue


@dataclass(frozen=True)
class Recipe:
    """A catalogue: its text, the text as TOML gives it, and the values its stored numbers take.

    `stored` holds (path, possible values) pairs by block; None among the values leaves the number
    out of the block's data.
    """

    text: str
    catalogue: dict[str, Any]
    stored: dict[str, Stored]


def make_recipe(rng: random.Random) -> Recipe:
    """Invent a catalogue."""
    taste = make_taste(rng)
    parts: dict[str, dict[str, Any]] = {}
    stored: dict[str, Stored] = {}
    for number, kind in enumerate(_kinds(rng, taste)):
        block = f"quayworks:{kind.replace(' ', '_')}_{number}"
        parts[block], stored[block] = make_entry(rng, taste, block, kind)
    if taste.offsets:
        add_meetings(rng, parts, chance=taste.offsets)
    text = toml_text({"catalogue": _heading(rng), "parts": parts})
    return Recipe(text=text, catalogue=read_catalogue(text), stored=stored)


def _kinds(rng: random.Random, taste: Taste) -> list[str]:
    kinds = ["mover", "machine", "shaft", "near", "far", "bevel"]
    kinds += rng.choices(kinds, [1, 2, 2, 2, 2, 1], k=rng.randint(1, 7))
    if rng.random() < 0.4:
        kinds.append("geared machine")
    if taste.switches:
        kinds += ["clutch", "reverser"]
    if taste.governors:
        kinds += ["governor"] * rng.randint(1, 2)
    if taste.belts:
        kinds += ["pulley"] * rng.randint(1, 3)
    return kinds


def _heading(rng: random.Random) -> dict[str, Any]:
    heading: dict[str, Any] = {
        "format": 1,
        "title": "Grown in the boatyard",
        "namespace": "quayworks",
        "version": "1.0",
        "licence": "MIT",
    }
    if rng.random() < 0.6:
        heading["speed_limit_rpm"] = rng.choice([8, 16, 64, Decimal("99.5")])
    if rng.random() < 0.5:
        heading["unequal_movers"] = rng.choice(["fastest", "fastest", "conflict"])
    return heading
