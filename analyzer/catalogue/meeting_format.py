"""A type's own offsets in a catalogue: where it meets parts of other types, and how."""

from __future__ import annotations

from typing import Final

from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.names import BLOCK_NAME
from analyzer.catalogue.port_format import CELL
from analyzer.catalogue.shapes import Either, Exact, Fixed, Key, Many, Table

#: Most own offsets of a type.
MOST_MEETINGS: Final = 64
#: Most types that all own offsets of a run name together: each is held against the others.
MOST_MET: Final = 20_000

_AT = Key(
    "at",
    CELL,
    "Where the block of the other part lies: steps from this part's block along its own front, "
    "top and right; not `[0, 0, 0]`.",
    required=True,
)
_TYPES = Key(
    "types",
    Many("a list of block names", BLOCK_NAME, most=256, distinct=True),
    "Block names of the types it meets there. Each must be in a catalogue of the run.",
    required=True,
)
MEETING_STATED: Final = Table(
    "meeting_stated",
    "an offset with a stated ratio",
    (
        Key(
            "ratio",
            Either(
                "ratio",
                "a number other than 0, or a list of two",
                (
                    Exact(Bound.NONZERO),
                    Many("a list of numerator and denominator", Exact(Bound.NONZERO), 2, least=2),
                ),
            ),
            "Speed of the other per speed of this part: above 0 where both turn the same way. "
            "`[2, 3]` is exactly two thirds. Only parts with parallel axes couple.",
            required=True,
        ),
        _AT,
        _TYPES,
    ),
)
MEETING_TOOTHED: Final = Table(
    "meeting_toothed",
    "a toothed offset",
    (
        Key(
            "toothed",
            Fixed(True),
            "The teeth of both rims give the ratio; both types need a rim.",
            required=True,
        ),
        _AT,
        _TYPES,
        Key(
            "contact",
            CELL,
            "The cell in which the teeth meet, for axes that meet at a right angle: steps from "
            "this part's block.",
            default="parallel axes, which turn opposite ways",
        ),
    ),
)
MEETS: Final = Many(
    "a list of own offsets",
    Either(
        "meeting",
        "a table with one of ratio, toothed",
        (MEETING_STATED, MEETING_TOOTHED),
    ),
    most=MOST_MEETINGS,
)
