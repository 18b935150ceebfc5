"""Strategies for the numbers of a catalogue: as they are written, and what they are exactly."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from analyzer.catalogue.catalogue import Stored
from tests.properties.strategies_data import KEYS

#: Values of block properties.
VALUES = st.sampled_from(["0", "1", "true", "north", "木", "a.b"])


@dataclass(frozen=True)
class Literal:
    """A number as it is written, which is what its text is, and its exact value."""

    text: str
    value: Fraction

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class Given:
    """A number of a type.

    Parameters
    ----------
    data
        What stands in the catalogue.
    property, values
        The property that decides and what it decides; None and nothing where none does.
    settled
        What it is where no property decides.
    """

    data: Any
    property: str | None
    values: dict[str, Fraction]
    settled: Fraction | Stored | None


@st.composite
def literals(draw: st.DrawFn, *, signed: bool = True, zero: bool = True) -> Literal:
    """Draw integers and decimals in any of the ways in which TOML writes them."""
    sign = draw(st.sampled_from(["", "+", "-"] if signed else ["", "+"]))
    whole = draw(st.integers(0 if zero else 1, 10**9 - 1))
    way = draw(st.sampled_from(["integer", "decimal", "exponent", "based"]))
    if way == "based":
        prefix = draw(st.sampled_from("box"))
        return Literal(f"0{prefix}{whole:{prefix}}", Fraction(whole))
    negative = -1 if sign == "-" else 1
    text = sign + draw(_spaced(str(whole)))
    if way == "integer":
        return Literal(text, Fraction(negative * whole))
    rest = draw(st.text("0123456789", min_size=1, max_size=25))
    exponent = draw(st.integers(-12, 0)) if way == "exponent" else 0
    value = negative * (whole + Fraction(int(rest), 10 ** len(rest))) * Fraction(10) ** exponent
    power = f"{draw(st.sampled_from('eE'))}{exponent}" if way == "exponent" else ""
    return Literal(f"{text}.{draw(_spaced(rest))}{power}", value)


@st.composite
def _spaced(draw: st.DrawFn, digits: str) -> str:
    """Put an underscore between some digits."""
    places = draw(st.sets(st.integers(1, len(digits)), max_size=2)) - {len(digits)}
    return "".join(f"{'_' * (at in places)}{digit}" for at, digit in enumerate(digits))


@st.composite
def numbers(
    draw: st.DrawFn, name: str, *, stored: bool, signed: bool = True, zero: bool = True
) -> Given:
    """Draw a number given as a constant, by a property of some name or, where it may be, stored."""
    literal = literals(signed=signed, zero=zero)
    way = draw(st.sampled_from(["constant", "property", *(["stored"] if stored else [])]))
    if way == "constant":
        constant = draw(literal)
        return Given(constant, None, {}, constant.value)
    if way == "property":
        values = draw(st.dictionaries(VALUES, literal, min_size=1, max_size=3))
        data = {"property": name, "values": values}
        return Given(data, name, {value: number.value for value, number in values.items()}, None)
    return draw(_stored(literal))


@st.composite
def _stored(draw: st.DrawFn, literal: st.SearchStrategy[Literal]) -> Given:
    path = draw(st.lists(KEYS | st.integers(0, 9), min_size=1, max_size=3))
    data: dict[str, Any] = {"stored": path}
    if len(path) == 1 and isinstance(path[0], str) and draw(st.booleans()):
        data["stored"] = path[0]
    scale = draw(st.none() | literals(zero=False))
    default = draw(st.none() | literal)
    data |= {} if scale is None else {"scale": scale}
    data |= {} if default is None else {"default": default}
    settled = Stored(
        path=tuple(path),
        scale=Fraction(1) if scale is None else scale.value,
        default=None if default is None else default.value,
    )
    return Given(data, None, {}, settled)
