"""What a save tells whoever gets it: what they must have installed, and about whom it speaks."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from analyzer.base.place import Block
from analyzer.save.files.fault import Fault
from analyzer.save.scan.scan import Coverage


class Personal(StrEnum):
    """What a file that speaks of people is; its value is how reports call it."""

    PLAYER = "player data"
    STATISTICS = "statistics"
    ADVANCEMENTS = "advancements"
    OPERATORS = "operators"
    BANS = "bans"
    WHITELIST = "whitelist"
    USERS = "user cache"
    SCOREBOARD = "scoreboard"
    SETTINGS = "server settings"
    LOGS = "logs"
    OWNER = "the owner's own player"


class AddressKind(StrEnum):
    """What a place in a text leads to; its value is how reports call it."""

    URL = "URL"
    EMAIL = "email"
    PATH = "path"
    IP = "IP"


@dataclass(frozen=True, order=True)
class PersonalFile:
    """A file that speaks of people; its path is relative to the save, with forward slashes."""

    kind: Personal
    file: str


@dataclass(frozen=True)
class Address:
    """An address or an absolute path in a text that a save stores.

    Parameters
    ----------
    dimension
        Name of its dimension; empty in a file of the save as a whole.
    file
        The file's path relative to the save, with forward slashes.
    at
        Position of the block entity that stores the text; None elsewhere.
    field
        Keys that lead to the text, with dots between them and ``[]`` for any element of a list.
    kind
        What it is.
    text
        The address as it stands there, or its beginning.
    """

    dimension: str
    file: str
    at: Block | None
    field: str
    kind: AddressKind
    text: str


def address_order(address: Address) -> tuple[str, str, tuple[int, ...], str, str, str]:
    """Return the key by which addresses are sorted: by place, a file's own before its blocks'."""
    at = tuple(address.at or ())
    return (address.dimension, address.file, at, address.field, address.kind, address.text)


@dataclass(frozen=True, order=True)
class Need:
    """A namespace that whoever opens the save must have.

    Parameters
    ----------
    namespace
        The namespace.
    blocks
        (block name, number of blocks), sorted.
    entities
        (block-entity id, number of block entities), sorted.
    """

    namespace: str
    blocks: tuple[tuple[str, int], ...]
    entities: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Disclosure:
    """What a save tells.

    Parameters
    ----------
    needs
        Namespaces other than the host game's in finished and unfinished chunks, sorted. Of blocks
        in chunks from before 1.13 nothing is known; of block entities in them, their ids.
    more_names
        How many blocks and block entities have names beyond those that were remembered.
    personal
        Files that speak of people, sorted.
    addresses
        Addresses and absolute paths in texts of block entities, ``level.dat`` and other stored
        data, sorted.
    more_addresses
        How many more there are than were remembered.
    looked_around
        Whether the folder around the regions was looked at: not of a bare region folder, and not
        of structure templates.
    more_files
        Whether the folder holds more files than were looked at.
    coverage
        What was read of regions and templates.
    faults
        Other files and folders that could not be read, sorted.
    """

    needs: tuple[Need, ...]
    more_names: int
    personal: tuple[PersonalFile, ...]
    addresses: tuple[Address, ...]
    more_addresses: int
    looked_around: bool
    more_files: bool
    coverage: Coverage
    faults: tuple[Fault, ...]
