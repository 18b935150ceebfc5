"""What a scan must find, by going over what was written, block by block."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from analyzer.base.block import BlockState, namespace_of
from analyzer.base.place import Block
from analyzer.demo.content import Content, Placement
from analyzer.demo.nbt import to_tag
from analyzer.save.scan.scan import Scan, Wanted
from tests.properties.strategies_data import Steps, follow
from tests.properties.strategies_places import chunk_of
from tests.properties.strategies_saves import World

AIR = BlockState("minecraft:air")
#: Dimension and position.
Place = tuple[str, Block]
#: Tag number, and the value of a number.
Number = tuple[int, int | float]


@dataclass
class Look:
    """What is found; of a candidate its state, its block entity's id, and its stored numbers."""

    candidates: dict[Place, tuple[str, str | None, dict[Steps, Number]]]
    bare: dict[Place, str]
    strangers: Counter[str]
    unknown: Counter[str]
    duplicate: int = 0
    unfinished: int = 0


def plain_look(world: World, wanted: Wanted) -> Look:
    """Return what there is to find, where every chunk is read whole."""
    look = Look({}, {}, Counter(), Counter())
    for dimension, content in world.dimensions.items():
        _look_at_entities(look, content, wanted)
        finished = [
            placement
            for placement in content.placements
            if chunk_of(placement.at) not in content.unfinished
        ]
        _look_at_blocks(look, dimension, finished, wanted)
    return look


def _look_at_entities(look: Look, content: Content, wanted: Wanted) -> None:
    for number, placement in enumerate(content.placements):
        if placement.entity is None:
            continue
        later = [
            other
            for other in content.placements[number + 1 :]
            if other.at == placement.at and other.entity is not None
        ]
        if placement.entity["id"] not in wanted.entities:
            look.unknown[placement.entity["id"]] += 1
        elif chunk_of(placement.at) in content.unfinished:
            look.unfinished += 1
        elif later:
            look.duplicate += 1


def _look_at_blocks(
    look: Look, dimension: str, placements: list[Placement], wanted: Wanted
) -> None:
    # Of several blocks, or block entities, at one place the last one counts.
    states = {placement.at: placement.state for placement in placements}
    entities = {
        placement.at: placement.entity for placement in placements if placement.entity is not None
    }
    for at, state in states.items():
        entity = entities.get(at)
        if entity is not None and entity["id"] in wanted.entities:
            name = entity["id"]
            numbers = {path: number_at(entity, path) for path in wanted.entities[name]}
            kept = {path: number for path, number in numbers.items() if number is not None}
            look.candidates[dimension, at] = (str(state), name, kept)
        elif state.name in wanted.blocks:
            look.candidates[dimension, at] = (str(state), None, {})
        elif state.name in wanted.entity_blocks and entity is None:
            look.bare[dimension, at] = str(state)
    sections = {(at.x // 16, at.y // 16, at.z // 16): {AIR.name} for at in states}
    for at, state in states.items():
        sections[at.x // 16, at.y // 16, at.z // 16].add(state.name)
    look.strangers.update(
        name
        for names in sections.values()
        for name in names - wanted.known_blocks
        if namespace_of(name) in wanted.namespaces
    )


def number_at(entity: Any, path: Steps) -> Number | None:
    """Return what a path leads to; a tag that is no number has the value 0."""
    tag = follow(to_tag(entity), path)
    if tag is None:
        return None
    if tag.tag_id > 6:
        return tag.tag_id, 0
    return tag.tag_id, float(tag) if tag.tag_id > 4 else int(tag)


def told_by(scan: Scan) -> Look:
    """Return what a scan found in the same terms."""
    left = scan.leftovers
    return Look(
        candidates=_candidates(scan),
        bare={
            (scan.dimensions[dimension], Block(*at)): str(scan.candidates.states[state])
            for dimension, at, state in zip(
                scan.bare.dimension.tolist(),
                scan.bare.xyz.tolist(),
                scan.bare.state.tolist(),
                strict=True,
            )
        },
        strangers=Counter(dict(scan.strangers)),
        unknown=Counter(dict(left.unknown)),
        duplicate=left.duplicate,
        unfinished=left.unfinished,
    )


def _candidates(scan: Scan) -> dict[Place, tuple[str, str | None, dict[Steps, Number]]]:
    table, readings = scan.candidates, scan.candidates.readings
    numbers: list[dict[Steps, Number]] = [{} for _ in range(len(table))]
    for row, path, tag, integer, real in zip(
        readings.row.tolist(),
        readings.path.tolist(),
        readings.tag.tolist(),
        readings.integer.tolist(),
        readings.real.tolist(),
        strict=True,
    ):
        numbers[row][table.paths[path]] = (tag, real if tag in (5, 6) else integer)
    rows = zip(
        table.dimension.tolist(),
        table.xyz.tolist(),
        table.state.tolist(),
        table.entity.tolist(),
        numbers,
        strict=True,
    )
    return {
        (scan.dimensions[dimension], Block(*at)): (
            str(table.states[state]),
            None if entity < 0 else table.entities[entity],
            stored,
        )
        for dimension, at, state, entity, stored in rows
    }
