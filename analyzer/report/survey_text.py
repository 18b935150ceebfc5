"""An inventory for people: a summary, then the block entities by namespace."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from analyzer.base.block import HOST_NAMESPACE
from analyzer.catalogue.catalogue import Catalogues
from analyzer.report.clean import shown
from analyzer.report.entity_kinds import EntityKind, entity_kinds
from analyzer.report.layout import columns, heading, labelled
from analyzer.report.quantities import counted
from analyzer.report.scan_text import iter_scan_summary, iter_unread
from analyzer.report.sentences import draft_command
from analyzer.save.inventory.inventory import Inventory

#: Most ids of one namespace that are shown.
_MOST_IDS: Final = 20


def iter_survey_text(
    inventory: Inventory, catalogues: Catalogues, *, save: str = "SAVE"
) -> Iterator[str]:
    """Yield the report in pieces that end with a line.

    Parameters
    ----------
    inventory
        What to report.
    catalogues
        What is known.
    save
        How the save is called on a command line, for the commands that the report suggests.
    """
    kinds = entity_kinds(inventory, catalogues)
    yield from heading(shown(inventory.facts.title), "=")
    yield from iter_scan_summary(inventory.facts, inventory.coverage)
    yield from labelled("found", _found(kinds))
    if inventory.older:
        older = sum(count for _, count in inventory.older)
        entities = counted(older, "block entity", "block entities")
        yield from labelled("older", f"{entities} in chunks from before 1.13, not listed below")
    for namespace, group in groupby(sorted(kinds, key=_by_namespace), key=lambda k: k.namespace):
        yield from _namespace(namespace, list(group), save)
    yield from iter_unread(inventory.coverage)


def _by_namespace(kind: EntityKind) -> tuple[bool, str, int, str]:
    # The game's own come last: they are many and none of them is part of a drive.
    return (kind.namespace == HOST_NAMESPACE, kind.namespace, -kind.count, kind.id)


def _found(kinds: Sequence[EntityKind]) -> str:
    if not kinds:
        return "no block entity"
    known = sum(kind.count for kind in kinds if kind.known)
    entities = counted(sum(kind.count for kind in kinds), "block entity", "block entities")
    return f"{entities} of {counted(len(kinds), 'id')}; catalogues know {known:,} of them"


def _namespace(namespace: str, kinds: Sequence[EntityKind], save: str) -> Iterator[str]:
    yield "\n"
    yield from heading(shown(namespace), "-")
    header = ("count", "known", "blocks", "id")
    rows = [
        (f"{kind.count:,}", "yes" if kind.known else "no", f"{len(kind.blocks):,}", shown(kind.id))
        for kind in kinds
    ]
    yield from columns([header, *rows[:_MOST_IDS]], right="rlrl")
    if len(rows) > _MOST_IDS:
        yield f"  ... and {len(rows) - _MOST_IDS:,} more. All of them:\n"
        yield f"  lineshaft survey {save} --format json\n"
    unknown = sum(not kind.known for kind in kinds)
    if unknown and namespace != HOST_NAMESPACE:
        yield f"  No catalogue knows {counted(unknown, 'id')} of these. Draft one:\n"
        yield f"  {draft_command(save, namespace)}\n"
