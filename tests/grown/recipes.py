"""Random catalogues, as text, and what a build needs to know to use them.

A recipe's blocks are invented at random from a seed: roles, poses, ends, rims and numbers of every
kind that the catalogue format has.
"""

from __future__ import annotations

import json
import random
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from tests.judge.entries import PLACEMENTS
from tests.judge.plain import read_catalogue
from tests.judge.stored import Tagged
from tests.judge.vectors import WORLD, dot

FACES = tuple(WORLD)
#: The 24 poses as (front, top).
POSES = tuple(
    (front, top) for front in FACES for top in FACES if dot(WORLD[front], WORLD[top]) == 0
)
SIDES = ("front", "back", "top", "bottom", "right", "left")
#: Stored values that are no number for some field or for any.
USELESS = [
    Tagged("double", float("nan")),
    Tagged("float", float("inf")),
    Tagged("long", 2 * 10**9),
    Tagged("string", "8"),
    Tagged("int_array", (8, 8)),
    Tagged("int", 0),
    Tagged("short", -4),
]


@dataclass(frozen=True)
class Recipe:
    """A catalogue: its text, the text as TOML gives it, and the values its stored numbers take.

    `stored` holds (path, possible values) pairs by block; None among the values leaves the number
    out of the block's data.
    """

    text: str
    catalogue: dict[str, Any]
    stored: dict[str, list[tuple[tuple[str | int, ...], list[Tagged | None]]]]


@dataclass(frozen=True)
class _Taste:
    """What the types of one catalogue have in common."""

    teeth: list[int]
    factors: list[int | str]
    base_rpm: Decimal
    torques: list[int | str]
    loads: list[int | str]
    constant: float
    picky: float
    fits: list[str]


def make_recipe(rng: random.Random) -> Recipe:
    """Invent a catalogue."""
    taste = _taste(rng)
    maker = _Maker(rng, taste)
    kinds = ["mover", "machine", "shaft", "near", "far", "bevel"]
    kinds += rng.choices(kinds, [1, 2, 2, 2, 2, 1], k=rng.randint(1, 7))
    if rng.random() < 0.4:
        kinds.append("geared machine")
    parts = {f"quayworks:{kind.replace(' ', '_')}_{n}": kind for n, kind in enumerate(kinds)}
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
    document = {
        "catalogue": heading,
        "parts": {block: maker.entry(block, kind) for block, kind in parts.items()},
    }
    text = toml_text(document)
    return Recipe(text=text, catalogue=read_catalogue(text), stored=maker.stored)


def _taste(rng: random.Random) -> _Taste:
    calm = rng.random() < 0.6
    teeth = rng.choice([[12], [8, 16], [8, 16, 24], [rng.randint(5, 64) for _ in range(3)]])
    wild = ["1.5", "-0.5", "0.75", 2, -3, "-1.25", "0.1"]
    return _Taste(
        teeth=teeth,
        factors=[1, -1] if calm else [1, 1, -1, -1, *rng.sample(wild, 2)],
        base_rpm=Decimal(rng.choice(["4", "8", "16", "12.5", "7"])),
        torques=rng.choice([[32], [8, 16], [24, "2.5", 0], [4]]),
        loads=rng.choice([[8], [4, 2], ["0.25", 3, 12, 0], [30, 4]]),
        constant=rng.choice([0.4, 0.7, 0.95]),
        picky=rng.choice([0, 0.2, 0.5]),
        fits=rng.choice([[], [], ["quayworks-heavy"], ["quayworks-heavy", "quayworks"]]),
    )


class _Maker:
    """Makes the entries of one catalogue."""

    def __init__(self, rng: random.Random, taste: _Taste) -> None:
        self.rng = rng
        self.taste = taste
        self.stored: dict[str, list[tuple[tuple[str | int, ...], list[Tagged | None]]]] = {}

    def entry(self, block: str, kind: str) -> dict[str, Any]:
        rng, taste = self.rng, self.taste
        self.stored[block] = []
        role = kind if kind == "mover" else "machine" if "machine" in kind else "transmission"
        entity: list[str] | bool = rng.sample([block, f"{block}_old", "quayworks:drive"], 1)
        if rng.random() < 0.2:
            entity = [block, "quayworks:drive"]
        elif rng.random() < 0.15:
            entity = False
        entry: dict[str, Any] = {"role": role, "entity": entity, "pose": self._pose(kind)}
        ends = self._ends(kind)
        if ends:
            entry["ends"] = {
                side: self._number(entry, block, f"turn_{side}", factor and [factor])
                for side, factor in ends.items()
            }
        if kind in ("near", "far", "geared machine") or (kind == "mover" and rng.random() < 0.2):
            entry["rim"] = self._rim(entry, block, kind)
        if role == "mover":
            base = taste.base_rpm
            entry["rated_rpm"] = self._number(entry, block, "pace", [base, base, -base, 2 * base])
            if rng.random() < 0.3:
                entry["active"] = self._number(entry, block, "lit", [1, 0, 1])
        if role != "transmission":
            amounts = taste.torques if role == "mover" else taste.loads
            entry["torque"] = self._number(entry, block, "pull", amounts)
        if rng.random() < 0.15:
            entry["speed_limit_rpm"] = rng.choice([8, 32, 128, Decimal("12.5")])
        if taste.fits and rng.random() < 0.25:
            entry["fits"] = rng.choice(taste.fits)
        return entry

    def _pose(self, kind: str) -> dict[str, Any]:
        rng = self.rng
        likely = [5, 1, 1, 1] if kind in ("shaft", "near", "far") else [1, 4, 1, 2]
        rule = rng.choices(["axis", "facing", "fixed", "cases"], likely)[0]
        if rule == "axis":
            return {"axis": rng.choice(["axis", "lie"])}
        if rule == "facing":
            return {"facing": "facing"}
        if rule == "fixed":
            front, top = rng.choice(POSES)
            return {"front": front, "top": top} if rng.random() < 0.7 else {"front": front}
        cases = [
            {"when": {"orientation": f"{front}_{top}"}, "front": front, "top": top}
            for front, top in rng.sample(POSES, rng.randint(4, 24))
        ]
        if rng.random() < 0.3:
            front, top = rng.choice(POSES)
            cases.insert(1, {"when": {"upset": "true"}, "front": front, "top": top})
        return {"cases": cases}

    def _ends(self, kind: str) -> dict[str, Any]:
        rng = self.rng
        if kind == "shaft":
            return {"front": 1, "back": -1}
        if kind == "bevel":
            return self._any()
        if kind in ("near", "far"):
            return rng.choice([{}, {"front": 1, "back": -1}, {"front": 1, "back": -1}, self._any()])
        if kind == "geared machine":
            return {"back": -1} if rng.random() < 0.3 else {}
        if rng.random() < 0.5:
            return {"front": 1, "back": -1}
        return {rng.choice(SIDES): rng.choice(self.taste.factors)}

    def _any(self) -> dict[str, Any]:
        chosen = self.rng.sample(SIDES, self.rng.randint(2, 6))
        return {side: self.rng.choice(self.taste.factors) for side in sorted(chosen)}

    def _rim(self, entry: dict[str, Any], block: str, kind: str) -> dict[str, Any]:
        rng = self.rng
        shape = kind if kind in PLACEMENTS else rng.choice(["near", "far"])
        rim = {"kind": shape, "teeth": self._number(entry, block, "size", self.taste.teeth)}
        if rng.random() < self.taste.picky:
            possible = sorted(PLACEMENTS[shape])
            rim["placements"] = rng.sample(possible, rng.randint(1, 2))
        return rim

    def _number(self, entry: dict[str, Any], block: str, name: str, values: list[Any]) -> Any:
        """Return a number as a constant, by a property or stored; any may be of the values."""
        rng = self.rng
        exact = [Decimal(value) for value in values]
        if rng.random() < self.taste.constant:
            return rng.choice(exact)
        if entry["entity"] is False or rng.random() < 0.4:
            return {"property": name, "values": {f"{n}": value for n, value in enumerate(exact)}}
        path: tuple[str | int, ...] = rng.choice(
            [(name.title(),), ("Drive", name.title()), ("Rows", name.title(), 1)]
        )
        number: dict[str, Any] = {"stored": path[0] if len(path) == 1 else list(path)}
        scale = Decimal(rng.choice([1, 1, 1, 2, "0.5", "0.1"]))
        if scale != 1 or rng.random() < 0.3:
            number["scale"] = scale
        found: list[Tagged | None] = [_tagged(rng, value / scale) for value in exact]
        if rng.random() < 0.4:
            number["default"] = rng.choice(exact)
            found.append(None)
        elif rng.random() < 0.5:
            found += [*found, None, *rng.sample(USELESS, 2)]
        self.stored[block].append((path, found))
        return number


def _tagged(rng: random.Random, value: Decimal) -> Tagged:
    if value == value.to_integral_value() and rng.random() < 0.6:
        fitting = ["short", "int", "long"] + ["byte"] * (abs(value) < 128)
        return Tagged(rng.choice(fitting), int(value))
    return Tagged(rng.choice(["float", "double"]), float(value))


def toml_text(document: dict[str, Any]) -> str:
    """Write a catalogue as TOML."""
    lines = ["[catalogue]"]
    lines += [f"{key} = {_inline(value)}" for key, value in document["catalogue"].items()]
    for block, entry in document["parts"].items():
        lines += ["", f"[parts.{json.dumps(block)}]"]
        lines += [f"{key} = {_inline(value)}" for key, value in entry.items()]
    return "\n".join(lines) + "\n"


def _inline(value: Any) -> str:
    if isinstance(value, dict):
        pairs = (f"{json.dumps(key)} = {_inline(item)}" for key, item in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_inline, value)) + "]"
    if isinstance(value, bool | str):
        return json.dumps(value)
    if isinstance(value, Decimal) and value != value.to_integral_value():
        return f"{value:f}"
    return str(int(value))
