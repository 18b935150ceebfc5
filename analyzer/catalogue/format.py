"""The catalogue format: one table of its keys, from which everything about the format is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from analyzer.base.frame import AXES, FACES, SIDES
from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.shapes import (
    Either,
    Exact,
    Fixed,
    Index,
    Key,
    Many,
    Named,
    Table,
    Text,
    Word,
)

#: Version of the format.
FORMAT: Final = 1
#: Largest catalogue file, in bytes.
LARGEST_FILE: Final = 4 * 1024 * 1024
#: Most types of a run.
MOST_TYPES: Final = 20_000
#: Most cases of a pose; each is held against those before it.
MOST_CASES: Final = 256
#: Most digits of a decimal, and most of them behind the point.
MOST_DIGITS: Final = 40

#: Placements that a rim of each kind can have (docs/catalogue.md, Rims).
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

_LABEL = Text("a line of text", r"[^\x00-\x1f\x7f-\x9f]+", 200)
_FACE = Word(FACES)
_PROPERTY = Text("the name of a block property", r"[^\s\[\],=]+")
_VALUE = Text("a value of a block property, as text", r"[^\s\[\],=]+")
#: A block name; the characters are those the host game allows in its names (from memory).
BLOCK_NAME: Final = Text("a block name such as quayworks:shaft", r"[a-z0-9_.\-]+:[a-z0-9_.\-/]+")
_ENTITY_ID = Text(
    "a block-entity id such as quayworks:shaft", r"[A-Za-z0-9_.\-]+(:[A-Za-z0-9_.\-/]+)?"
)

_STEP = Either(
    "step",
    "a key as text, or an index of at least 0",
    (Text("a key of a compound", r"[^\x00-\x1f\x7f-\x9f]+"), Index()),
)
_PATH = Either(
    "path",
    "a key as text, or a list of keys and indices",
    (
        Text("a key of a compound", r"[^\x00-\x1f\x7f-\x9f]+"),
        Many("a list of steps", _STEP, most=32),
    ),
)


def _number(bound: Bound) -> Either:
    suffix = bound.name.lower()
    by_property = Table(
        f"by_property_{suffix}",
        "a number by property",
        (
            Key(
                "property",
                _PROPERTY,
                "The block property that decides.",
                required=True,
            ),
            Key(
                "values",
                Named("a table of numbers by property value", _VALUE, Exact(bound)),
                "The number for each value of the property. A block whose value is not listed is "
                "not understood.",
                required=True,
            ),
        ),
    )
    stored = Table(
        f"stored_{suffix}",
        "a stored number",
        (
            Key(
                "stored",
                _PATH,
                "Where the number lies in the block entity: one key, or a list of steps in which "
                "text is a key of a compound and an integer an index of a list or array.",
                required=True,
            ),
            Key(
                "scale",
                Exact(Bound.NONZERO),
                "What the number found is multiplied by.",
                default="1",
            ),
            Key(
                "default",
                Exact(bound),
                "The number where the path leads nowhere; it is not scaled.",
                default="none: the number is unusable",
            ),
        ),
    )
    return Either(
        f"number_{suffix}",
        f"{bound.value}, a table with property and values, or a table with stored",
        (Exact(bound), by_property, stored),
    )


NUMBER: Final = _number(Bound.ANY)
_NONZERO = _number(Bound.NONZERO)
_POSITIVE = _number(Bound.POSITIVE)
_NOT_NEGATIVE = _number(Bound.NOT_NEGATIVE)

POSE_AXIS: Final = Table(
    "pose_axis",
    "a pose by axis",
    (
        Key(
            "axis",
            _PROPERTY,
            f"Property whose value is an axis ({', '.join(AXES)}): the front is the axis's "
            "positive direction.",
            required=True,
        ),
    ),
)
POSE_FACING: Final = Table(
    "pose_facing",
    "a pose by facing",
    (
        Key(
            "facing",
            _PROPERTY,
            "Property whose value is a face (north, south, east, west, up, down): that face is "
            "the front.",
            required=True,
        ),
    ),
)
_TOP = Key("top", _FACE, "World face of the top.", default="by the [frame rule](#pose)")
POSE_FIXED: Final = Table(
    "pose_fixed",
    "a fixed pose",
    (Key("front", _FACE, "World face of the front of every block.", required=True), _TOP),
)
CASE: Final = Table(
    "pose_case",
    "a case",
    (
        Key(
            "when",
            Named("a table of property values", _PROPERTY, _VALUE),
            "The values that all have to be there for the case to hold.",
            required=True,
        ),
        Key("front", _FACE, "World face of the front in this case.", required=True),
        _TOP,
    ),
)
POSE_CASES: Final = Table(
    "pose_cases",
    "a pose by cases",
    (
        Key(
            "cases",
            Many("a list of cases", CASE, most=MOST_CASES),
            "The first case that holds gives the pose; a block for which none holds is not "
            "understood.",
            required=True,
        ),
    ),
)
POSE: Final = Either(
    "pose",
    "a table with one of axis, facing, front, cases",
    (POSE_AXIS, POSE_FACING, POSE_FIXED, POSE_CASES),
)

ENDS: Final = Table(
    "ends",
    "a table of ends by own side",
    tuple(
        Key(side, _NONZERO, f"Factor of the end at the {side}.", default="no end there")
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
        Key("teeth", _POSITIVE, "Number of teeth.", required=True),
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
                    Many("a list of block-entity ids", _ENTITY_ID, most=256, distinct=True),
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
            _NOT_NEGATIVE,
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
            _LABEL,
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
        Key("title", _LABEL, "What the catalogue is called in reports.", required=True),
        Key(
            "namespace",
            Text("a namespace such as quayworks", r"[a-z0-9_.\-]+"),
            "Class (`fits`) of its types that name none of their own; usually the namespace of "
            "its blocks.",
            required=True,
        ),
        Key("version", _LABEL, "Version of the catalogue, as text.", required=True),
        Key("licence", _LABEL, "Licence of the catalogue.", required=True),
        Key("power_unit", _LABEL, "Label of power in reports.", default="`power`"),
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
