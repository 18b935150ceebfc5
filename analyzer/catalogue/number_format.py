"""The three ways to give a number in a catalogue."""

from __future__ import annotations

from typing import Final

from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.names import COMPOUND_KEY, PROPERTY, VALUE
from analyzer.catalogue.shapes import Either, Exact, Key, Many, Named, Table, Whole

#: Most steps of a path.
MOST_STEPS: Final = 32
STEP: Final = Either(
    "step",
    "a key as text, or an index of at least 0",
    (COMPOUND_KEY, Whole("an index of at least 0", 0)),
)
PATH: Final = Either(
    "path",
    "a key as text, or a list of keys and indices",
    (
        COMPOUND_KEY,
        Many("a list of steps", STEP, most=MOST_STEPS),
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
                PROPERTY,
                "The block property that decides.",
                required=True,
            ),
            Key(
                "values",
                Named("a table of numbers by property value", VALUE, Exact(bound)),
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
                PATH,
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
NONZERO: Final = _number(Bound.NONZERO)
POSITIVE: Final = _number(Bound.POSITIVE)
NOT_NEGATIVE: Final = _number(Bound.NOT_NEGATIVE)
