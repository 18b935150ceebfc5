"""The blocks of a catalogue in every pose, and what else a block of a build carries."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from typing import Any

from tests.grown.data import put
from tests.grown.lies import pose_properties
from tests.grown.recipes import Recipe
from tests.judge.entries import understand
from tests.judge.parts import Part
from tests.judge.placed import Placement
from tests.judge.poses import NotUnderstoodError, frame, in_world
from tests.judge.vectors import Vector, add


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
        for properties in pose_properties(entry["pose"]):
            placement = dress(
                random.Random(0), recipe, Placement("", (0, 0, 0), block, properties), whole=True
            )
            part = understand([recipe.catalogue], placement)
            if part is None:
                raise AssertionError(f"{placement} is no part")
            found.append(Variant(block, properties, part))
    return found


def dress(
    rng: random.Random, recipe: Recipe, placement: Placement, *, whole: bool = False
) -> Placement:
    """Give a block the other properties and the stored numbers that its entry needs.

    `whole` takes the first of all values, so that every number of the part exists.
    """
    entry = recipe.catalogue["parts"][placement.block]
    properties = dict(placement.properties)
    for name, values in entry.get("only", {}).items():
        properties[name] = values[0] if whole else rng.choice(values)
    for number in numbers_of(entry):
        if "property" in number:
            values = sorted(number["values"])
            properties[number["property"]] = values[0] if whole else rng.choice(values)
    if entry["entity"] is False:
        return replace(placement, properties=properties)
    data = {"id": rng.choice(entry["entity"])}
    dressed = replace(placement, properties=properties, data=data)
    for path, values in recipe.stored[placement.block]:
        value = values[0] if whole else rng.choice(values)
        if value is not None:
            dressed = put(dressed, path, value)
    return dressed


def numbers_of(entry: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the numbers of an entry that depend on the block."""
    ends = [
        end["factor"] if isinstance(end, dict) and "factor" in end else end
        for end in entry.get("ends", {}).values()
    ]
    given = [
        *ends,
        entry.get("rim", {}).get("teeth"),
        entry.get("link", {}).get("diameter"),
        entry.get("switch", {}).get("on"),
        entry.get("governor", {}).get("set_rpm"),
        *(entry.get(key) for key in ("rated_rpm", "torque", "active", "least_rpm")),
    ]
    return [number for number in given if isinstance(number, dict)]


def other_cells(entry: dict[str, Any], placement: Placement) -> list[Vector]:
    """Return the positions of the cells that a block fills besides its own."""
    joints = [*entry.get("ends", {}).values(), entry.get("rim")]
    cells = [joint.get("cell") for joint in joints if isinstance(joint, dict)]
    try:
        lie = frame(entry["pose"], placement.properties)
    except NotUnderstoodError:
        return []
    found = {add(placement.at, in_world(cell, lie)) for cell in cells if cell is not None}
    return sorted(found - {placement.at})


def other_half(entry: dict[str, Any], placement: Placement) -> Placement | None:
    """Return the block of a part's other cell, which is no part; None where it needs none."""
    if "only" not in entry:
        return None
    properties = {**placement.properties, **dict.fromkeys(entry["only"], "the_rest")}
    return replace(placement, properties=properties)


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
