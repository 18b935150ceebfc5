"""Where a part can be coupled with its neighbours, in a catalogue: ends, rims, their cells."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from analyzer.base.frame import SIDES
from analyzer.catalogue.catalogue import Port
from analyzer.catalogue.number_format import NONZERO, POSITIVE
from analyzer.catalogue.shapes import Either, Key, Many, Table, Whole, Word

#: Farthest that an own cell or offset may lie from the part's block, in steps along each own axis.
FARTHEST: Final = 8
#: Placements that a rim of each kind can have (docs/catalogue.md, Rim).
KIND_PLACEMENTS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {"near": ("beside", "diagonal"), "far": ("diagonal", "crossed")}
)

CELL: Final = Many(
    "a list of steps along front, top and right",
    Whole(f"a whole number from {-FARTHEST} to {FARTHEST}", -FARTHEST, FARTHEST),
    most=3,
    least=3,
)
#: The ports that switches and governors can act on.
PORT: Final = Word(tuple(str(port) for port in Port if port is not Port.OFFSET))
END_ELSEWHERE: Final = Table(
    "end_elsewhere",
    "an end on another cell",
    (
        Key("factor", NONZERO, "Its factor.", required=True),
        Key(
            "cell",
            CELL,
            "The cell at whose face the end is: steps from the part's block along its own front, "
            "top and right.",
            default="the part's block",
        ),
    ),
)
END: Final = Either(
    "end",
    f"{NONZERO.what}, or a table with factor and cell",
    (*NONZERO.options, END_ELSEWHERE),
)
ENDS: Final = Table(
    "ends",
    "a table of ends by own side",
    tuple(
        Key(side, END, f"Factor of the end at the {side}.", default="no end there")
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
        Key(
            "cell",
            CELL,
            "The cell in which the rim is: steps from the part's block along its own front, top "
            "and right.",
            default="the part's block",
        ),
    ),
)
