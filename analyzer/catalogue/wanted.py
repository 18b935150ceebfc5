"""What catalogues need from a save."""

from __future__ import annotations

from analyzer.catalogue.catalogue import Catalogues, DataPath, PartType, Stored


def wanted_paths(catalogues: Catalogues) -> dict[str, tuple[DataPath, ...]]:
    """Return the block-entity ids that carry parts, each with the stored numbers to read from it.

    Returns
    -------
    dict
        Ids sorted, paths in a fixed order without repetition; empty without types.
    """
    paths: dict[str, set[DataPath]] = {}
    for type_ in catalogues.types:
        stored = {number.path for _, number in type_.numbers if isinstance(number, Stored)}
        stored.update(_partner_paths(type_))
        if type_.recorded is not None:
            stored.add(type_.recorded.rpm.path)
        for entity in type_.entities:
            paths.setdefault(entity, set()).update(stored)
    return {entity: tuple(sorted(paths[entity], key=_order)) for entity in sorted(paths)}


def wanted_blocks(catalogues: Catalogues) -> frozenset[str]:
    """Return the names of the blocks that are parts without a block entity."""
    return frozenset(type_.block for type_ in catalogues.types if not type_.entities)


def _partner_paths(type_: PartType) -> tuple[DataPath, ...]:
    """Return the paths of a partner's position, and of what holds it: is anything there at all?"""
    partner = None if type_.link is None else type_.link.partner
    if partner is None:
        return ()
    return (*partner.paths, partner.path) if partner.path else partner.paths


def _order(path: DataPath) -> tuple[tuple[bool, str, int], ...]:
    # Keys and indices do not compare with each other.
    return tuple((True, "", step) if isinstance(step, int) else (False, step, 0) for step in path)
