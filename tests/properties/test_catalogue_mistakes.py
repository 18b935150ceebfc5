"""A catalogue with a mistake ends in mistakes with lines, and in nothing else."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.load import load_catalogues
from tests.catalogue.toml_writer import Writer
from tests.properties.examples import drawn, few, holds, new_folder
from tests.properties.strategies_catalogues import DrawnCatalogue, catalogues
from tests.properties.strategies_mistakes import mistakes
from tests.support.check import checked

SUBJECT = "Properties: catalogues"
FILE = "drawn.toml"
WRONG = 120
MISTAKEN = holds(
    SUBJECT,
    "P16",
    "catalogues with a value of a wrong kind, a number beyond all bounds, an unknown key or a "
    "missing one",
    "a CatalogueError, with a mistake on that key's line",
    WRONG,
)
EDITED = 200
GARBLED = holds(
    SUBJECT,
    "P17",
    "catalogues with up to three pieces of their text cut out, doubled or written over, and with "
    "stray bytes",
    "accepted, or a CatalogueError whose every mistake has a line of the text",
    EDITED,
)
TWICE = b"what stands there, twice"
PIECES = (
    *("a", '"', "'", '"""', "'''", "=", "[", "]", "[[", "{", "}", ",", ".", "\\", "#", "\n", "\t"),
    *("\r", "\x00", "\x7f", "é", "1", "-", "e9", "nan", "true", "1907-05-14", "25:61:00", "_"),
    *("1979-02-30", "0x", "\\u", "parts", "catalogue", "stored = []", "values = {}", ""),
)
#: Where along the file, how many bytes, and what takes their place.
Edit = tuple[float, int, bytes]
EDITS = st.lists(
    st.tuples(
        st.floats(0, 1),
        st.integers(0, 40),
        st.sampled_from([*(piece.encode() for piece in PIECES), TWICE])
        | st.binary(min_size=1, max_size=4),
    ),
    min_size=1,
    max_size=3,
)


@pytest.fixture(scope="module")
def some() -> list[DrawnCatalogue]:
    """A few dozen catalogues, to try much with each."""
    return drawn(catalogues(), 30)


def mistakes_in(data: bytes) -> tuple[Mistake, ...]:
    with new_folder() as folder:
        path = folder / FILE
        path.write_bytes(data)
        try:
            load_catalogues([str(path)])
        except CatalogueError as error:
            return error.mistakes
    return ()


def has_line(mistake: Mistake, data: bytes) -> bool:
    return 1 <= mistake.line <= data.count(b"\n") + 1 and mistake.file.endswith(FILE)


@checked(MISTAKEN)
@few(WRONG)
@given(data=st.data(), style=st.integers(0, 99))
def test_a_mistake_is_found_on_its_line(
    some: list[DrawnCatalogue], data: st.DataObject, style: int
) -> None:
    mistaken = data.draw(mistakes(some))
    writer = Writer(random.Random(style).randrange)
    written = writer.document(mistaken.document).encode()
    found = mistakes_in(written)
    assert found
    assert all(has_line(mistake, written) for mistake in found)
    around = [mistaken.at[:length] for length in range(len(mistaken.at), 0, -1)]
    line = next((writer.lines[path] for path in around if path in writer.lines), 1)
    assert line in {mistake.line for mistake in found}


@checked(GARBLED)
@few(EDITED)
@given(data=st.data(), style=st.integers(0, 99), edits=EDITS)
def test_a_garbled_file_ends_in_mistakes_with_lines_or_in_none(
    some: list[DrawnCatalogue], data: st.DataObject, style: int, edits: list[Edit]
) -> None:
    catalogue = data.draw(st.sampled_from(some))
    text = Writer(random.Random(style).randrange).document(catalogue.document).encode()
    for place, length, piece in edits:
        at = round(place * len(text))
        cut = text[at : at + length]
        text = text[:at] + (2 * cut if piece == TWICE else piece) + text[at + length :]
    for mistake in mistakes_in(text):
        assert has_line(mistake, text), str(mistake)
