"""A starter catalogue for the block entities that no catalogue knows: docs/catalogue.md."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from analyzer.base.block import HOST_NAMESPACE, namespace_of
from analyzer.catalogue.catalogue import Catalogues
from analyzer.report.clean import shown
from analyzer.report.draft_pose import likely_pose
from analyzer.report.entity_kinds import BlockKind, EntityKind, entity_kinds
from analyzer.report.layout import paragraph
from analyzer.report.quantities import counted
from analyzer.report.toml_text import toml_string, toml_strings
from analyzer.save.inventory.inventory import FieldRange, Inventory

#: Most values of a property, and most numeric fields of a block entity, that are noted.
_MOST_VALUES: Final = 16
_MOST_FIELDS: Final = 24

# The game's own flag in every block entity (from memory); it says nothing about a drive.
_OF_THE_GAME: Final = "keepPacked"

# The characters that the host game allows in its names (from memory); a catalogue takes no others.
_BLOCK = re.compile(r"[a-z0-9_.\-]+:[a-z0-9_.\-/]+")
_ENTITY = re.compile(r"[A-Za-z0-9_.\-]+(:[A-Za-z0-9_.\-/]+)?")


def iter_draft(inventory: Inventory, catalogues: Catalogues) -> Iterator[str]:
    """Yield a catalogue in TOML with everything an inventory tells and gaps where it does not.

    Parameters
    ----------
    inventory
        What the save holds.
    catalogues
        What is known, and so left out. The host game's own block entities are left out too,
        unless the inventory holds no others.

    Yields
    ------
    str
        Pieces that end with a line. Once the empty texts are filled in, the whole is a catalogue;
        until then the check of catalogues names each of them. An inventory without unknown block
        entities gives a catalogue without types.
    """
    unknown = [kind for kind in entity_kinds(inventory, catalogues) if not kind.known]
    others = [kind for kind in unknown if kind.namespace != HOST_NAMESPACE]
    carriers = _carriers(others or unknown)
    blocks = {name: found for name, found in carriers.items() if _is_usable(name, found)}
    namespace = _main_namespace(blocks)
    yield from _head(namespace)
    for name in sorted(blocks):
        yield from _entry(name, blocks[name], namespace)
    yield from _left_out(carriers, blocks)


def _carriers(kinds: Sequence[EntityKind]) -> dict[str, list[EntityKind]]:
    """Return the block entities of each block that carries any."""
    found: dict[str, list[EntityKind]] = defaultdict(list)
    for kind in kinds:
        for block in kind.blocks:
            found[block].append(kind)
    return dict(found)


def _is_usable(block: str, kinds: Sequence[EntityKind]) -> bool:
    """Tell whether a block may be a part, rather than what is left where one was taken away."""
    foreign = namespace_of(block) == HOST_NAMESPACE and all(
        kind.namespace != HOST_NAMESPACE for kind in kinds
    )
    named = _BLOCK.fullmatch(block) and all(_ENTITY.fullmatch(kind.id) for kind in kinds)
    return bool(named) and not foreign


def _main_namespace(blocks: Mapping[str, Sequence[EntityKind]]) -> str:
    counts: Counter[str] = Counter()
    for name, kinds in blocks.items():
        counts[namespace_of(name)] += sum(kind.blocks[name].count for kind in kinds)
    return min(counts, key=lambda name: (-counts[name], name), default="")


def _head(namespace: str) -> Iterator[str]:
    yield from _comment(
        "A draft: fill in every empty text, take out what is no part of a drive, and check it "
        "with: lineshaft catalogue check FILE"
    )
    yield "\n[catalogue]\n"
    yield "format = 1\n"
    yield f"title = {toml_string(f'Parts of {namespace}' if namespace else '')}\n"
    yield f"namespace = {toml_string(namespace)}\n"
    yield 'version = "0.1"\n'
    yield 'licence = ""  # fill in: the licence under which others may use the catalogue\n'
    yield '# power_unit = "power"\n'
    yield "# speed_limit_rpm = 256\n"


def _entry(name: str, kinds: Sequence[EntityKind], namespace: str) -> Iterator[str]:
    blocks = [kind.blocks[name] for kind in kinds]
    properties = _merged(blocks)
    yield "\n"
    yield from _comment(f"{counted(sum(block.count for block in blocks), 'block')}.")
    for key, values in properties.items():
        more = ", ..." if len(values) > _MOST_VALUES else ""
        yield from _comment(f"  {shown(key)}: {shown(', '.join(values[:_MOST_VALUES]))}{more}")
    yield f"[parts.{toml_string(name)}]\n"
    yield 'role = ""  # fill in: mover, machine or transmission\n'
    yield f"entity = {toml_strings(kind.id for kind in kinds)}\n"
    yield from likely_pose(properties)
    yield "# ends = {front = 1, back = -1}\n"
    yield '# rim = {kind = "near", teeth = 12}\n'
    yield "# rated_rpm = 8  # movers\n"
    yield "# torque = 8  # movers and machines\n"
    if namespace_of(name) != namespace:
        yield f"fits = {toml_string(namespace_of(name))}\n"
    for kind in kinds:
        yield from _fields(kind)


def _merged(blocks: Sequence[BlockKind]) -> dict[str, tuple[str, ...]]:
    found: dict[str, set[str]] = defaultdict(set)
    for block in blocks:
        for name, values in block.properties.items():
            found[name].update(values)
    return {name: tuple(sorted(found[name])) for name in sorted(found)}


def _fields(kind: EntityKind) -> Iterator[str]:
    fields = [field for field in kind.fields if field.path != _OF_THE_GAME]
    if not fields:
        return
    yield from _comment(f"Numbers stored in {shown(kind.id)}, least to greatest:")
    for field in fields[:_MOST_FIELDS]:
        yield from _comment(f"  {_range(field)}")
    if len(fields) > _MOST_FIELDS:
        yield from _comment(f"  ... and {len(fields) - _MOST_FIELDS:,} more")


def _range(field: FieldRange) -> str:
    values = (
        f"{field.least}"
        if field.least == field.greatest
        else (f"{field.least} to {field.greatest}")
    )
    if field.steps is None:
        return f"{shown(field.path)}: {values} (in a list: a path gives the index)"
    path = toml_string(field.steps[0]) if len(field.steps) == 1 else toml_strings(field.steps)
    return f"{{stored = {path}}}: {values}"


def _left_out(
    carriers: Mapping[str, Sequence[EntityKind]], used: Mapping[str, Sequence[EntityKind]]
) -> Iterator[str]:
    left = sorted(carriers.keys() - used.keys())
    if left:
        yield "\n"
        yield from _comment(
            "Left out, since what stands there is none of theirs or cannot be named here:"
        )
    for block in left:
        for kind in carriers[block]:
            count = kind.blocks[block].count
            yield from _comment(f"  {shown(kind.id)} at {shown(block)}: {count:,}")


def _comment(text: str) -> Iterator[str]:
    indent = len(text) - len(text.lstrip())
    more = 2 if indent else 0
    yield from paragraph(text.strip(), first=f"# {' ' * indent}", rest=f"# {' ' * (indent + more)}")
