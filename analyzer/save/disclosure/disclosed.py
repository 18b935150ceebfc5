"""What one region or template discloses, as it grows: bounded, and fit to be sent."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from analyzer.base.block import HOST_NAMESPACE, namespace_of
from analyzer.base.place import Block
from analyzer.save.disclosure.disclosure import Address, AddressKind
from analyzer.save.reading.looked import Looked

# Bounds on what a save may make this remember. Real ones stay far below.
_MOST_NAMES: Final = 2_000
_LONGEST_NAME: Final = 200
_MOST_ADDRESSES: Final = 1_000


@dataclass(frozen=True, eq=False)
class Disclosed:
    """What one region or template discloses.

    Parameters
    ----------
    looked
        What was looked at.
    blocks, entities
        Count by name of those that are not of the host game.
    more_names
        How many have names beyond those.
    addresses, more_addresses
        As of a `Disclosure`.
    """

    looked: Looked
    blocks: Counter[str]
    entities: Counter[str]
    more_names: int
    addresses: tuple[Address, ...]
    more_addresses: int


@dataclass
class DisclosedSoFar:
    """What is disclosed, as it grows.

    Parameters
    ----------
    dimension, file
        Of the region or template.
    """

    dimension: str
    file: str
    blocks: Counter[str] = field(default_factory=Counter)
    entities: Counter[str] = field(default_factory=Counter)
    more_names: int = 0
    addresses: list[Address] = field(default_factory=list)
    more_addresses: int = 0

    def add_blocks(self, name: str, count: int) -> None:
        """Take in blocks of one name; those of the host game are left out."""
        self._add(self.blocks, name, count)

    def add_entity(self, name: str) -> None:
        """Take in a block entity by its id; one of the host game is left out."""
        self._add(self.entities, name, 1)

    def add_addresses(
        self, at: Block | None, found: Iterator[tuple[str, AddressKind, str]]
    ) -> None:
        """Take in the addresses of one block entity, or of the file as a whole."""
        for path, kind, text in found:
            if len(self.addresses) < _MOST_ADDRESSES:
                self.addresses.append(Address(self.dimension, self.file, at, path, kind, text))
            else:
                self.more_addresses += 1

    def disclosed(self, looked: Looked) -> Disclosed:
        """Return what was taken in."""
        return Disclosed(
            looked=looked,
            blocks=self.blocks,
            entities=self.entities,
            more_names=self.more_names,
            addresses=tuple(self.addresses),
            more_addresses=self.more_addresses,
        )

    def _add(self, counts: Counter[str], name: str, count: int) -> None:
        if namespace_of(name) == HOST_NAMESPACE or not count:
            return
        if len(name) > _LONGEST_NAME:
            name = f"{name[:_LONGEST_NAME]}…"
        if name in counts or len(counts) < _MOST_NAMES:
            counts[name] += count
        else:
            self.more_names += count
