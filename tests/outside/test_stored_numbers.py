"""Numbers that a save stores, against the shortest decimals that others print for them."""

from __future__ import annotations

from fractions import Fraction

import nbtlib
import numpy as np
import pytest

from analyzer.base.exact import stored_number
from tests.outside.shop import drive, shop
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Stored numbers"
PYTHON = Check(
    SUBJECT,
    "SN1",
    "doubles 0.01 to 0.05, 1.23456789, 0.001, 1.001e-4 and 100 as stored",
    "the shortest decimal that reads back as the same double",
    Source(
        Evidence.PUBLISHED,
        "M. Dickinson, tests of *short repr* of Python (r71155, 2009)",
        "python.org/pipermail/python-checkins/2009-April/081037.html",
    ),
)
NUMPY = Check(
    SUBJECT,
    "SN2",
    "2,000 random floats of four bytes as stored",
    "what numpy.format_float_positional(unique=True) prints, and reads back the same",
    Source(Evidence.LIBRARY, "numpy.format_float_positional"),
    why="the tool writes with another function of numpy; reading back is judged by numpy.float32",
)
SAVED = Check(
    SUBJECT,
    "SN3",
    "an engine whose speed is stored as float 0.1, double 0.1 or short 3, times 50",
    "5, 5 and 150 rpm",
    Source(Evidence.COMMON, "a stored decimal means the decimal that was typed"),
)
SCALED = """
[parts."quayworks:meter"]
role = "mover"
entity = ["quayworks:drive"]
pose = {facing = "facing"}
ends = {front = 1, back = -1}
rated_rpm = {stored = "Rpm", scale = 50}
torque = 1
"""


@checked(PYTHON)
@pytest.mark.parametrize(
    "text", ["0.01", "0.02", "0.03", "0.04", "0.05", "1.23456789", "0.001", "0.0001001", "100"]
)
def test_a_double_means_its_shortest_decimal(text: str) -> None:
    assert stored_number(6, 0, float(text)) == Fraction(text)


@checked(NUMPY)
def test_a_float_of_four_bytes_means_its_shortest_decimal() -> None:
    rng = np.random.default_rng(1)
    floats = (rng.standard_normal(2000) * 10.0 ** rng.integers(-6, 8, 2000)).astype(np.float32)
    for value in floats:
        found = stored_number(5, 0, float(value))
        assert found == Fraction(np.format_float_positional(value, unique=True))
        assert np.float32(float(found)) == value


@checked(SAVED)
@pytest.mark.parametrize(
    ("stored", "rpm"), [(nbtlib.Float(0.1), 5), (nbtlib.Double(0.1), 5), (nbtlib.Short(3), 150)]
)
def test_a_stored_number_is_scaled_exactly(stored: nbtlib.Float, rpm: int) -> None:
    assert shop([drive((0, 64, 0), "meter[facing=east]", Rpm=stored)], SCALED).rpm(0, 64, 0) == rpm
