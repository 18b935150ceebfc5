"""The block entities of an inventory by id: what survey reports and drafts say about each."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from analyzer.base.block import namespace_of
from analyzer.catalogue.catalogue import Catalogues
from analyzer.save.inventory.inventory import FieldRange, Inventory


@dataclass(frozen=True)
class BlockKind:
    """A block that carries block entities of one id.

    Parameters
    ----------
    count
        How many.
    properties
        The values that occur of each property, sorted.
    """

    count: int
    properties: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class EntityKind:
    """All block entities of one id.

    Parameters
    ----------
    id
        The id.
    count
        How many there are.
    dimensions
        How many in each dimension, by its name.
    blocks
        The blocks at their positions, by name; entries outside their chunk are in none.
    fields
        Ranges of their numeric fields, by path.
    known
        Whether a catalogue has a type that such a block entity can carry.
    """

    id: str
    count: int
    dimensions: Mapping[str, int]
    blocks: Mapping[str, BlockKind]
    fields: tuple[FieldRange, ...]
    known: bool

    @property
    def namespace(self) -> str:
        """Namespace of the id."""
        return namespace_of(self.id)


def entity_kinds(inventory: Inventory, catalogues: Catalogues) -> tuple[EntityKind, ...]:
    """Return the kinds of block entity, by id; none for an empty inventory."""
    known = {entity for kind in catalogues.types for entity in kind.entities}
    dimensions: dict[str, Counter[int]] = defaultdict(Counter)
    states: dict[str, Counter[int]] = defaultdict(Counter)
    for row in inventory.rows:
        dimensions[row.id][row.dimension] += 1
        states[row.id][row.state] += 1
    fields: dict[str, list[FieldRange]] = defaultdict(list)
    for field in inventory.fields:
        fields[field.id].append(field)
    return tuple(
        EntityKind(
            id=entity,
            count=dimensions[entity].total(),
            dimensions={
                inventory.dimensions[number]: count
                for number, count in sorted(dimensions[entity].items())
            },
            blocks=_block_kinds(inventory, states[entity]),
            fields=tuple(fields[entity]),
            known=entity in known,
        )
        for entity in sorted(dimensions)
    )


def _block_kinds(inventory: Inventory, states: Counter[int]) -> dict[str, BlockKind]:
    counts: Counter[str] = Counter()
    values: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for number, count in states.items():
        if number < 0:
            continue
        state = inventory.states[number]
        counts[state.name] += count
        for name, value in state.properties:
            values[state.name][name].add(value)
    return {
        block: BlockKind(
            count=counts[block],
            properties={
                name: tuple(sorted(found)) for name, found in sorted(values[block].items())
            },
        )
        for block in sorted(counts)
    }
