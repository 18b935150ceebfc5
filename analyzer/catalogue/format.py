"""The catalogue format: one table of its keys, from which everything about the format is made."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.control_format import GOVERNOR, RECORDED, SWITCH
from analyzer.catalogue.head_format import HEAD, WARNINGS
from analyzer.catalogue.link_format import LINK, PARTNER
from analyzer.catalogue.meeting_format import MEETING_STATED, MEETING_TOOTHED, MEETS
from analyzer.catalogue.names import BLOCK_NAME, ENTITY_ID, LABEL, PROPERTY, VALUE
from analyzer.catalogue.number_format import NOT_NEGATIVE, NUMBER
from analyzer.catalogue.port_format import END_ELSEWHERE, ENDS, RIM
from analyzer.catalogue.pose_format import (
    CASE,
    POSE,
    POSE_AXIS,
    POSE_CASES,
    POSE_FACING,
    POSE_FIXED,
)
from analyzer.catalogue.shapes import (
    Demand,
    Demands,
    Either,
    Exact,
    Fixed,
    Key,
    Many,
    Named,
    Table,
    Word,
)

#: Largest catalogue file, in bytes.
LARGEST_FILE: Final = 4 * 1024 * 1024
#: Most types of a run.
MOST_TYPES: Final = 20_000
#: Most different block-entity ids of a run, and most different paths in them.
MOST_STORED: Final = 30_000
#: Most digits of a decimal, and most of them behind the point.
MOST_DIGITS: Final = 40

_ROLES: Final = MappingProxyType(
    {
        "mover": Demand(
            required=("rated_rpm", "torque"),
            refused=("least_rpm", "governor"),
        ),
        "machine": Demand(
            required=("torque",),
            refused=("rated_rpm", "active", "governor"),
        ),
        "transmission": Demand(refused=("rated_rpm", "torque", "active", "least_rpm")),
    }
)

PART: Final = Table(
    "part",
    "a part's entry",
    (
        Key("role", Word(tuple(_ROLES)), "What the part is in a drive.", required=True),
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
        Key(
            "only",
            Named(
                "a table of lists of values by property",
                PROPERTY,
                Many("a list of values of the property", VALUE, most=256, distinct=True),
            ),
            "Properties with the values that a block must have to be this part; a block with "
            "another value is no part.",
            default="every block of that name",
        ),
        Key("pose", POSE, "How the block's properties give its pose.", required=True),
        Key("ends", ENDS, "Where shafts leave the part, and how they turn.", default="no ends"),
        Key("rim", RIM, "Its toothed edge, about its own front.", default="no rim"),
        Key(
            "meets",
            MEETS,
            "[Offsets of its own](#own-offsets) at which it couples with certain types.",
            default="no own offsets",
        ),
        Key("link", LINK, "A belt or chain to another part.", default="no link"),
        Key(
            "switch",
            SWITCH,
            "Opens or flips ports. Not together with `governor`.",
            default="no switch",
        ),
        Key(
            "governor",
            GOVERNOR,
            "Makes one port turn at a set speed. For transmissions only.",
            default="no governor",
        ),
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
            "least_rpm",
            NOT_NEGATIVE,
            "Slowest speed in rpm at which the machine works; that speed itself is enough. For "
            "machines only.",
            default="any speed will do",
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
        Key(
            "recorded_rpm",
            RECORDED,
            "Where the saving program keeps the speed that it last computed.",
            default="none is known",
        ),
    ),
    demands=Demands("role", _ROLES),
    apart=("switch", "governor"),
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
    WARNINGS,
    PART,
    POSE_AXIS,
    POSE_FACING,
    POSE_FIXED,
    POSE_CASES,
    CASE,
    ENDS,
    END_ELSEWHERE,
    RIM,
    MEETING_STATED,
    MEETING_TOOTHED,
    LINK,
    PARTNER,
    SWITCH,
    GOVERNOR,
    RECORDED,
    *(option for option in NUMBER.options if isinstance(option, Table)),
)
