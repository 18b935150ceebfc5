"""An inventory for machines: the JSON document of docs/output.md, Survey."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from analyzer.catalogue.catalogue import Catalogues
from analyzer.report.entity_kinds import EntityKind, entity_kinds
from analyzer.report.json_text import iter_json
from analyzer.report.scan_json import chunk_counts, save_facts, tool, unread
from analyzer.save.inventory.inventory import Inventory

#: Grows with any change that a reader of the document could trip over.
SCHEMA_VERSION: Final = 1


def iter_survey_json(inventory: Inventory, catalogues: Catalogues) -> Iterator[str]:
    """Yield the document in pieces."""
    yield from iter_json(survey_document(inventory, catalogues))


def survey_document(inventory: Inventory, catalogues: Catalogues) -> dict[str, Any]:
    """Return the document as plain values; without block entities its lists are empty."""
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": tool(),
        "save": save_facts(inventory.facts),
        "scan": {
            "dimensions": list(inventory.dimensions),
            "regions": len(inventory.coverage.regions),
            "chunks": chunk_counts(inventory.coverage),
        },
        "entities": [_entity(kind) for kind in entity_kinds(inventory, catalogues)],
        "older": [{"id": entity, "count": count} for entity, count in inventory.older],
        "unread": unread(inventory.coverage),
    }


def _entity(kind: EntityKind) -> dict[str, Any]:
    return {
        "id": kind.id,
        "count": kind.count,
        "dimensions": dict(kind.dimensions),
        "blocks": {
            name: {
                "count": block.count,
                "properties": {name: list(values) for name, values in block.properties.items()},
            }
            for name, block in kind.blocks.items()
        },
        "fields": {field.path: [field.least, field.greatest] for field in kind.fields},
        "known": kind.known,
    }
