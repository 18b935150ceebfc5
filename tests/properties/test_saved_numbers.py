"""A number that a save stores means one exact number: an integer itself, a float its decimal."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import nbtlib
import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from analyzer.catalogue.catalogue import Field
from analyzer.demo.content import Placement, place
from analyzer.findings.audit import Audit
from tests.catalogue.toml_writer import Writer
from tests.properties.examples import few, holds, new_folder
from tests.properties.shortest import is_shortest, reads_back
from tests.properties.strategies_data import DOUBLE_DIGITS, KEYS, SCALARS, SINGLE_DIGITS
from tests.properties.strategies_numbers import Literal, literals
from tests.support.audits import audited_text
from tests.support.check import checked
from tests.support.saves import save_of

SUBJECT = "Properties: catalogues"
LARGEST = 10**9
SAVED = 30
TYPED = holds(
    SUBJECT,
    "P18",
    "integers of every width, and decimals of up to 6 or 15 digits as floats of 4 or 8 bytes, in a "
    "save at a drawn path, times a drawn scale",
    "the number that was typed times the scale; beyond 10^9, absent or no number: unusable",
    SAVED,
)
ANY = holds(
    SUBJECT,
    "P19",
    "any floats of 4 and 8 bytes in a save",
    "a decimal that reads back as the float by the halfway points to its neighbours; no decimal "
    "of fewer digits does",
    SAVED,
)


@dataclass(frozen=True)
class Typed:
    """A tag, and the number that it was made of; None for no tag, or one that is no number."""

    tag: Any
    number: Fraction | None


@st.composite
def _decimals(draw: st.DrawFn, kind: Any, digits: int) -> Typed:
    mantissa = draw(st.integers(1 - 10**digits, 10**digits - 1))
    number = mantissa * Fraction(10) ** draw(st.integers(-digits, 3))
    return Typed(kind(float(number)), number)


INTEGERS = st.one_of(
    *(SCALARS[kind] for kind in (nbtlib.Byte, nbtlib.Short, nbtlib.Int, nbtlib.Long))
)
TYPED_TAGS = st.one_of(
    INTEGERS.map(lambda tag: Typed(tag, Fraction(int(tag)))),
    _decimals(nbtlib.Float, SINGLE_DIGITS),
    _decimals(nbtlib.Double, DOUBLE_DIGITS),
    st.just(Typed(None, None)),
    SCALARS[nbtlib.String].map(lambda tag: Typed(tag, None)),
)
FLOATS = st.one_of(
    st.floats(-LARGEST, LARGEST, width=32).map(np.float32),
    st.floats(-LARGEST, LARGEST).map(np.float64),
)
PATHS = st.lists(KEYS, min_size=1, max_size=3)


@checked(TYPED)
@few(SAVED)
@given(
    st.lists(TYPED_TAGS, min_size=1, max_size=12),
    PATHS,
    literals(zero=False),
    st.integers(0, 99),
)
def test_a_saved_number_means_the_number_that_was_typed(
    typed: list[Typed], path: list[str], scale: Literal, style: int
) -> None:
    audit = audited([one.tag for one in typed], path, scale, style)
    for part, one in enumerate(typed):
        usable = one.number is not None and max(1, abs(scale.value)) * abs(one.number) <= LARGEST
        expected = one.number * scale.value if usable else None
        assert audit.parts.number(part, Field.RATED_RPM) == expected
        assert usable is (part not in {number.part for number in audit.parts.unusable})


@checked(ANY)
@few(SAVED)
@given(st.lists(FLOATS, min_size=1, max_size=12), PATHS)
def test_a_saved_float_means_its_shortest_decimal(
    floats: list[np.floating], path: list[str]
) -> None:
    kinds = {np.float32: nbtlib.Float, np.float64: nbtlib.Double}
    tags = [kinds[type(value)](float(value)) for value in floats]
    audit = audited(tags, path, Literal("1", Fraction(1)), style=0)
    for part, value in enumerate(floats):
        number = audit.parts.number(part, Field.RATED_RPM)
        assert number is not None
        assert reads_back(number, value)
        assert is_shortest(number, value) if value else number == 0


def audited(tags: Sequence[Any], path: list[str], scale: Literal, style: int) -> Audit:
    """Audit a row of gauges, each with a tag at a path; no tag for None."""
    with new_folder() as folder:
        gauges = [_gauge(number, tag, path) for number, tag in enumerate(tags)]
        return audited_text(save_of(folder, gauges), _catalogue(path, scale, style))


def _gauge(number: int, tag: Any, path: list[str]) -> Placement:
    data = {} if tag is None else tag
    for key in reversed(path if tag is not None else []):
        data = {key: data}
    return place((3 * number - 9, 64, -1), "quayworks:gauge", {"id": "quayworks:gauge", **data})


def _catalogue(path: list[str], scale: Literal, style: int) -> str:
    gauge = {
        "role": "mover",
        "entity": ["quayworks:gauge"],
        "pose": {"front": "up"},
        "rated_rpm": {"stored": path, "scale": scale},
        "torque": 1,
    }
    head = {"format": 1, "title": "Gauges", "namespace": "quayworks", "version": "1"}
    return Writer(random.Random(style).randrange).document(
        {"catalogue": {**head, "licence": "MIT"}, "parts": {"quayworks:gauge": gauge}}
    )
