"""The four ways to give a pose in a catalogue."""

from __future__ import annotations

from typing import Final

from analyzer.base.frame import AXES, FACES
from analyzer.catalogue.names import PROPERTY, VALUE
from analyzer.catalogue.shapes import Either, Key, Many, Named, Table, Word

#: Most cases of a pose; each is held against those before it.
MOST_CASES: Final = 256

_FACE = Word(FACES)
POSE_AXIS: Final = Table(
    "pose_axis",
    "a pose by axis",
    (
        Key(
            "axis",
            PROPERTY,
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
            PROPERTY,
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
            Named("a table of property values", PROPERTY, VALUE),
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
