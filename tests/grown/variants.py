"""The blocks of a catalogue in every pose, and what else a block of a build carries."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from typing import Any

from tests.grown.recipes import Recipe
from tests.judge.entries import Part, Placement, understand
from tests.judge.stored import Tagged


@dataclass(frozen=True)
class Variant:
    """A block with the properties that give its pose, and what it would be as a part."""

    block: str
    properties: dict[str, str]
    part: Part


def variants(recipe: Recipe) -> list[Variant]:
    """Return every block of a catalogue in every pose that its properties can give it."""
    found = []
    for block, entry in recipe.catalogue["parts"].items():
        for properties in _pose_properties(entry["pose"]):
            placement = dress(
                random.Random(0), recipe, Placement("", (0, 0, 0), block, properties), whole=True
            )
            part = understand([recipe.catalogue], placement)
            if part is None:
                raise AssertionError(f"{placement} is no part")
            found.append(Variant(block, properties, part))
    return found


def _pose_properties(rule: dict[str, Any]) -> list[dict[str, str]]:
    if "axis" in rule:
        return [{rule["axis"]: axis} for axis in "xyz"]
    if "facing" in rule:
        faces = ("north", "south", "east", "west", "up", "down")
        return [{rule["facing"]: face} for face in faces]
    if "cases" in rule:
        return [dict(case["when"]) for case in rule["cases"]]
    return [{}]


def dress(
    rng: random.Random, recipe: Recipe, placement: Placement, *, whole: bool = False
) -> Placement:
    """Give a block the other properties and the stored numbers that its entry needs.

    `whole` takes the first of all values, so that every number of the part exists.
    """
    entry = recipe.catalogue["parts"][placement.block]
    properties = dict(placement.properties)
    for number in _numbers(entry):
        if "property" in number:
            values = sorted(number["values"])
            properties[number["property"]] = values[0] if whole else rng.choice(values)
    if entry["entity"] is False:
        return replace(placement, properties=properties)
    data: dict[str, Any] = {"id": rng.choice(entry["entity"])}
    for path, values in recipe.stored[placement.block]:
        value = values[0] if whole else rng.choice(values)
        if value is not None:
            _put(data, path, value)
    return replace(placement, properties=properties, data=data)


def _numbers(entry: dict[str, Any]) -> list[dict[str, Any]]:
    rim = entry.get("rim", {})
    given = [*entry.get("ends", {}).values(), rim.get("teeth")]
    given += [entry.get(key) for key in ("rated_rpm", "torque", "active")]
    return [number for number in given if isinstance(number, dict)]


def _put(data: dict[str, Any], path: tuple[str | int, ...], value: Tagged) -> None:
    *way, last = path
    if isinstance(last, int):
        key = way.pop()
        last, value = key, [value for _ in range(last + 1)]
    for step in way:
        data = data.setdefault(step, {})
    data[last] = value


def spoil(rng: random.Random, placement: Placement) -> Placement:
    """Make a block that looks like a part and is none, or at least a doubtful one."""
    if placement.data is not None and rng.random() < 0.4:
        stale = rng.choice([None, {**placement.data, "id": "quayworks:barrel"}])
        return replace(placement, data=stale)
    properties = dict(placement.properties)
    if properties:
        name = rng.choice(sorted(properties))
        properties[name] = "unheard_of"
        if rng.random() < 0.5:
            del properties[name]
    return replace(placement, properties=properties)
