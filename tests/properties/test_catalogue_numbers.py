"""A catalogue's numbers come out of it exactly as they were written into it."""

from __future__ import annotations

import random
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.block import BlockState
from analyzer.base.frame import FACES
from analyzer.catalogue.catalogue import Field, Stored
from analyzer.catalogue.load import load_catalogue_text
from analyzer.catalogue.resolve import NotUnderstood
from analyzer.catalogue.show import Shown, show_block
from tests.catalogue.toml_writer import Writer
from tests.properties.examples import few, holds
from tests.properties.strategies_catalogues import DrawnCatalogue, DrawnType, catalogues
from tests.support.check import checked

SUBJECT = "Properties: catalogues"
EXAMPLES = 50
SHOWN = holds(
    SUBJECT,
    "P15",
    "catalogues with integers, decimals of up to 34 digits, powers of ten and numbers to bases 2, "
    "8 and 16, in any style of TOML: loaded, and shown for a block",
    "each number as the fraction that was written, by the block's properties",
    EXAMPLES,
)


@checked(SHOWN)
@few(EXAMPLES)
@given(catalogues(), st.data(), st.integers(0, 99))
def test_a_number_is_shown_as_it_was_written(
    catalogue: DrawnCatalogue, data: st.DataObject, style: int
) -> None:
    text = Writer(random.Random(style).randrange).document(catalogue.document)
    found = load_catalogue_text(text, "drawn.toml")
    (source,) = found.sources
    assert source.speed_limit_rpm == catalogue.limit
    assert [type_.block for type_ in found.types] == sorted(one.block for one in catalogue.types)
    limits = {type_.block: type_.speed_limit_rpm for type_ in found.types}
    for type_ in catalogue.types:
        assert limits[type_.block] == (catalogue.limit if type_.limit is None else type_.limit)
        properties, numbers = data.draw(blocks_of(type_))
        state = BlockState(type_.block, tuple(sorted(properties.items())))
        shown = show_block(state, found)
        assert isinstance(shown, Shown)
        assert dict(shown.numbers) == numbers
        assert FACES[shown.front] == type_.posing[1]
        for name in properties:
            left = tuple(pair for pair in state.properties if pair[0] != name)
            verdict = show_block(BlockState(type_.block, left), found)
            assert isinstance(verdict, NotUnderstood)
            assert verdict.property == name


@st.composite
def blocks_of(
    draw: st.DrawFn, type_: DrawnType
) -> tuple[dict[str, str], dict[Field, Fraction | Stored | None]]:
    """Draw properties of a block of a type, with the numbers that it then has."""
    properties = dict(type_.posing[0])
    numbers: dict[Field, Fraction | Stored | None] = {}
    for field, number in type_.numbers.items():
        numbers[field] = number.settled
        if number.property is not None:
            properties[number.property] = draw(st.sampled_from(sorted(number.values)))
            numbers[field] = number.values[properties[number.property]]
    return properties, numbers
