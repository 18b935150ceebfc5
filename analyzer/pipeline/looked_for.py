"""What an audit looks for in a save, by the catalogues it is made with."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from analyzer.base.block import HOST_NAMESPACE, namespace_of
from analyzer.save.scan.wanted import Wanted

# What is not needed to begin reading is imported while others read.
if TYPE_CHECKING:
    from analyzer.catalogue.catalogue import Catalogues


def loaded(catalogues: Catalogues | Sequence[str]) -> Catalogues:
    """Return catalogues, loaded if only their paths or names are given.

    Raises
    ------
    CatalogueError
        Where one cannot be used.
    """
    from analyzer.catalogue.catalogue import Catalogues
    from analyzer.catalogue.load import load_catalogues

    return catalogues if isinstance(catalogues, Catalogues) else load_catalogues(catalogues)


def wanted_for(catalogues: Catalogues, *, every_byte: bool) -> Wanted:
    """Return what is wanted of a save's blocks; without any type of part, nothing."""
    from analyzer.catalogue.wanted import wanted_blocks, wanted_paths

    known = frozenset(type_.block for type_ in catalogues.types)
    without_entity = wanted_blocks(catalogues)
    return Wanted(
        entities=wanted_paths(catalogues),
        blocks=without_entity,
        every_byte=every_byte,
        entity_blocks=known - without_entity,
        # Whoever names a few of the host game's own blocks does not claim to know them all.
        namespaces=frozenset(map(namespace_of, known)) - {HOST_NAMESPACE},
        known_blocks=known,
    )
