"""The catalogue format: one table of its keys, from which everything about the format is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from analyzer.base.frame import SIDES
from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.names import BLOCK_NAME, ENTITY_ID, LABEL, NAMESPACE
from analyzer.catalogue.number_format import NONZERO, NOT_NEGATIVE, NUMBER, POSITIVE
from analyzer.catalogue.pose_format import (
    CASE,
    POSE,
    POSE_AXIS,
    POSE_CASES,
    POSE_FACING,
    POSE_FIXED,
)
from analyzer.catalogue.shapes import Either, Exact, Fixed, Key, Many, Named, Table, Word

#: Version of the format.
FORMAT: Final = 1
#: Largest catalogue file, in bytes.
LARGEST_FILE: Final = 4 * 1024 * 1024
#: Most types of a run.
MOST_TYPES: Final = 20_000
#: Most digits of a decimal, and most of them behind the point.
MOST_DIGITS: Final = 40

#: Placements that a rim of each kind can have (docs/catalogue.md, Rim).
KIND_PLACEMENTS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {"near": ("beside", "diagonal"), "far": ("diagonal", "crossed")}
)


@dataclass(frozen=True)
class RoleRule:
    """Keys that a role must have, and keys that make no sense for it."""

    required: tuple[str, ...]
    refused: tuple[str, ...]


ROLE_RULES: Final[Mapping[str, RoleRule]] = MappingProxyType(
    {
        "mover": RoleRule(("rated_rpm", "torque"), ()),
        "machine": RoleRule(("torque",), ("rated_rpm", "active")),
        "transmission": RoleRule((), ("rated_rpm", "torque", "active")),
    }
)

ENDS: Final = Table(
    "ends",
    "a table of ends by own side",
    tuple(
        Key(side, NONZERO, f"Factor of the end at the {side}.", default="no end there")
        for side in SIDES
    ),
)
RIM: Final = Table(
    "rim",
    "a rim",
    (
        Key(
            "kind",
            Word(tuple(KIND_PLACEMENTS)),
            "`near`: the pitch line touches the faces of its own cell. `far`: it lies in the ring "
            "of eight cells round it.",
            required=True,
        ),
        Key("teeth", POSITIVE, "Number of teeth.", required=True),
        Key(
            "placements",
            Many(
                "a list of beside, diagonal, crossed",
                Word(("beside", "diagonal", "crossed")),
                most=3,
                distinct=True,
            ),
            "Where a second rim may stand to mesh. `near` rims can have `beside` and `diagonal`, "
            "`far` rims `diagonal` and `crossed`.",
            default="all that the kind can have",
        ),
    ),
)

PART: Final = Table(
    "part",
    "a part's entry",
    (
        Key("role", Word(tuple(ROLE_RULES)), "What the part is in a drive.", required=True),
        Key(
            "entity",
            Either(
                "entity",
                "a list of block-entity ids, or false",
                (
                    Many("a list of block-entity ids", ENTITY_ID, most=256, distinct=True),
                    Fixed(False),
                ),
            ),
            "Ids of the block entities that carry the part; `false` for a part without one, whose "
            "blocks are then looked for in the palettes.",
            required=True,
        ),
        Key("pose", POSE, "How the block's properties give its pose.", required=True),
        Key("ends", ENDS, "Where shafts leave the part, and how they turn.", default="no ends"),
        Key("rim", RIM, "Its toothed edge, about its own front.", default="no rim"),
        Key(
            "rated_rpm",
            NUMBER,
            "Rated speed in rpm, signed about the front; 0 does not drive. For movers only.",
            default="a mistake in a mover",
        ),
        Key(
            "torque",
            NOT_NEGATIVE,
            "Power per rpm: given by a mover, asked for by a machine. Not for transmissions.",
            default="a mistake in a mover or a machine",
        ),
        Key(
            "active",
            NUMBER,
            "0 means that the mover does not drive. For movers only.",
            default="always active",
        ),
        Key(
            "speed_limit_rpm",
            Exact(Bound.POSITIVE),
            "Highest speed allowed in rpm; the limit itself is allowed.",
            default="the catalogue's",
        ),
        Key(
            "fits",
            LABEL,
            "Class within which its ends and its rim couple.",
            default="the catalogue's namespace",
        ),
    ),
)

HEAD: Final = Table(
    "catalogue",
    "the catalogue's head",
    (
        Key("format", Fixed(FORMAT), "Version of this format.", required=True),
        Key("title", LABEL, "What the catalogue is called in reports.", required=True),
        Key(
            "namespace",
            NAMESPACE,
            "Class (`fits`) of its types that name none of their own; usually the namespace of "
            "its blocks.",
            required=True,
        ),
        Key("version", LABEL, "Version of the catalogue, as text.", required=True),
        Key("licence", LABEL, "Licence of the catalogue.", required=True),
        Key("power_unit", LABEL, "Label of power in reports.", default="`power`"),
        Key(
            "speed_limit_rpm",
            Exact(Bound.POSITIVE),
            "Highest speed in rpm of every type without a limit of its own.",
            default="no limit",
        ),
        Key(
            "unequal_movers",
            Word(("fastest", "conflict")),
            "Active movers that push the same way at different speeds: the fastest leads, or they "
            "conflict.",
            default="`fastest`",
        ),
    ),
)

DOCUMENT: Final = Table(
    "document",
    "a catalogue",
    (
        Key("catalogue", HEAD, "The head: what holds for the whole file.", required=True),
        Key(
            "parts",
            Named("a table of entries by block name", BLOCK_NAME, PART, least=0),
            "One entry a block, keyed by block name.",
            default="no entries",
        ),
    ),
)

#: Tables of the format in the order in which the reference page explains them.
TABLES: Final = (
    HEAD,
    PART,
    POSE_AXIS,
    POSE_FACING,
    POSE_FIXED,
    POSE_CASES,
    CASE,
    ENDS,
    RIM,
    *(option for option in NUMBER.options if isinstance(option, Table)),
)
