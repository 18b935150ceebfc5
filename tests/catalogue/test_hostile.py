"""Texts that no one would write in good faith end in one clear mistake, soon."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.format import LARGEST_FILE, MOST_STORED, MOST_TYPES
from analyzer.catalogue.load import load_catalogue_text, load_catalogues
from analyzer.catalogue.meeting_format import MOST_MEETINGS, MOST_MET
from tests.catalogue.texts import FILE, HEAD, SHAFT, mistakes_in

#: A quarter of the largest file keeps the tests quick; what is not bounded would take hours.
FILLED = LARGEST_FILE // 4


def mistakes_of(path: Path, data: bytes) -> tuple[Mistake, ...]:
    path.write_bytes(data)
    with pytest.raises(CatalogueError) as caught:
        load_catalogues([str(path)])
    return caught.value.mistakes


SYNTAX = {
    "an open text": ('a = "b', 8),
    "a key without a value": ("\na =\nb = 1", 9),
    "the same key twice": ("a = 1\na = 2\n", 9),
    "the same table twice": ("[a]\n[a]\n", 9),
    "what follows a value": ("a = 1 b\n", 8),
    "an open list at the end": ("a = [1,\n2\n\n", 9),
    "an unknown escape": (r'a = "\q"', 8),
    "a control character": ("a = '\x01'", 8),
    "a carriage return of its own": ("a = 1\rb = 2", 8),
}


@pytest.mark.parametrize("case", SYNTAX)
def test_what_is_not_toml_is_one_mistake_with_its_line(case: str) -> None:
    body, line = SYNTAX[case]
    (mistake,) = mistakes_in(body)
    assert (mistake.file, mistake.line, mistake.key) == (FILE, line, "")
    assert mistake.found.startswith("not valid TOML: ")
    assert mistake.expected == "a TOML document"


def test_bytes_that_are_not_utf_8_are_one_mistake_with_their_line(tmp_path: Path) -> None:
    path = tmp_path / "latin.toml"
    (mistake,) = mistakes_of(path, b"# quay\ntitle = '\xe9'\n")
    assert mistake == Mistake(str(path), 2, "", "found bytes that are not UTF-8", "UTF-8 text")


def test_a_lone_surrogate_in_a_text_is_one_mistake() -> None:
    (mistake,) = mistakes_in("a = '\ud800'")
    assert (mistake.line, mistake.found) == (8, "found bytes that are not UTF-8")


def test_a_byte_order_mark_and_carriage_returns_change_nothing(tmp_path: Path) -> None:
    path = tmp_path / "windows.toml"
    path.write_bytes(b"\xef\xbb\xbf" + (HEAD + SHAFT).replace("\n", "\r\n").encode())
    assert load_catalogues([str(path)]) == load_catalogue_text(HEAD + SHAFT, FILE)
    (mistake,) = mistakes_of(path, (HEAD + SHAFT + "x = 1\n").replace("\n", "\r\n").encode())
    assert (mistake.line, mistake.found) == (13, "unknown key")


@pytest.mark.parametrize(
    "body",
    [
        "a = " + "[" * 500_000,
        "a = " + "[" * 500_000 + "]" * 500_000,
        "a = " + "{a=" * 500_000,
        "[" + "a." * 500_000 + "a]",
        "a." * 500_000 + "a = 1",
    ],
    ids=["open lists", "closed lists", "inline tables", "a header", "a dotted key"],
)
def test_nesting_without_end_is_one_mistake_with_its_line(body: str) -> None:
    (mistake,) = mistakes_in(body)
    assert (mistake.line, mistake.expected) == (8, "the nesting of the catalogue format")


@pytest.mark.parametrize("number", ["1" * 5_000, "0x" + "f" * 5_000, "1e" + "9" * 5_000])
def test_a_number_of_thousands_of_digits_is_one_mistake_with_its_line(number: str) -> None:
    (mistake,) = mistakes_in(f"speed_limit_rpm = {number}\n")
    assert mistake.line == 8


def _filled(piece: str) -> str:
    return piece * (FILLED // len(piece))


@pytest.mark.parametrize(
    "body",
    [
        "a = [" + _filled("1,") + "]",
        "a = [" + _filled("[],") + "]",
        "a = [" + _filled("{b=1},") + "]",
        "a = '" + _filled("x") + "'",
        'a = "' + _filled("\\n") + '"',
        'a = """' + _filled('""\\"') + '"""',
        _filled("#"),
        _filled("\n"),
        _filled("[[a]]\n"),
        _filled('"""'),
        '[parts."quayworks:shaft".ends]\n'
        + "".join(f"f{number} = 1\n" for number in range(FILLED // 14)),
        '[parts."quayworks:shaft"]\npose = {cases = ['
        + "".join(f'{{when={{a="{n}"}},front="up"}},' for n in range(FILLED // 36))
        + "]}",
        '[parts."quayworks:shaft"]\nentity = [' + _filled('"a",') + "]",
        '[parts."quayworks:shaft"]\nmeets = [' + _filled("{at=[0,1,0]},") + "]",
        '[parts."quayworks:shaft"]\nmeets = [{types = [' + _filled('"q:a",') + "]}]",
        '[parts."quayworks:shaft"]\nmeets = [' + _filled("{at=[0,0,0]},") + "]",
        '[parts."quayworks:shaft"]\nswitch = {opens = [' + _filled('"\\n",') + "]}",
        '[parts."quayworks:shaft"]\nonly = {half = [' + _filled('"a",') + "]}",
    ],
    ids=[
        "numbers",
        "lists",
        "tables",
        "one text",
        "escapes",
        "quotes",
        "a comment",
        "empty lines",
        "list tables",
        "quotes alone",
        "misspelt ends",
        "cases",
        "entities",
        "own offsets",
        "types met",
        "offsets to the part itself",
        "ports",
        "values asked for",
    ],
)
def test_a_large_file_of_anything_is_judged_soon(body: str) -> None:
    assert all(mistake.file == FILE for mistake in mistakes_in(body))


def test_a_file_beyond_the_largest_size_is_one_mistake(tmp_path: Path) -> None:
    path = tmp_path / "large.toml"
    text = (HEAD + SHAFT).encode()
    path.write_bytes(text + b"#" * (LARGEST_FILE - len(text)))
    assert len(load_catalogues([str(path)]).types) == 1
    (mistake,) = mistakes_of(path, text + b"#" * (LARGEST_FILE - len(text) + 1))
    assert mistake.found == "found more than 4,194,304 bytes"
    assert mistake.expected == "a file of at most 4,194,304 bytes"


def _entries(count: int, name: str = "p") -> str:
    one = 'role="transmission",entity=false,pose={front="up"}'
    return "[parts]\n" + "".join(f'"q:{name}{n}"={{{one}}}\n' for n in range(count))


def test_more_types_than_a_run_can_hold_are_one_mistake() -> None:
    assert mistakes_in(_entries(MOST_TYPES)) == ()
    (mistake,) = mistakes_in(_entries(MOST_TYPES + 1))
    assert (mistake.line, mistake.key) == (8, "parts")
    assert (mistake.found, mistake.expected) == ("found 20,001 entries", "at most 20,000")


def test_more_types_than_a_run_can_hold_in_several_catalogues_are_one_mistake(
    tmp_path: Path,
) -> None:
    paths = [tmp_path / "a.toml", tmp_path / "b.toml"]
    paths[0].write_text(HEAD + _entries(MOST_TYPES, "a"))
    paths[1].write_text(HEAD + _entries(1, "b"))
    with pytest.raises(CatalogueError) as caught:
        load_catalogues([str(path) for path in paths])
    (mistake,) = caught.value.mistakes
    assert (mistake.file, mistake.line, mistake.key) == (str(paths[1]), 8, "parts")
    assert mistake.found == "found 20,001 entries in all the catalogues together"


def test_what_a_terminal_would_obey_is_escaped_in_messages() -> None:
    (mistake,) = mistakes_in(r'"\u001b[2Jx" = 1' + "\n")
    assert "\x1b" not in str(mistake)
    assert mistake.key == r'catalogue."\u001b[2Jx"'
    mistakes = mistakes_in(SHAFT.replace('"transmission"', r'"\u009b2J\u202e"'))
    assert all(text.isprintable() for text in map(str, mistakes))


def test_a_long_value_is_cut_short_in_messages() -> None:
    (mistake,) = mistakes_in(SHAFT.replace('"transmission"', '"' + "x" * 5_000 + '"'))
    assert len(str(mistake)) < 200


def _meeting_types(count: int, met: int) -> str:
    """Return types that each meet as many of the others as own offsets can name."""
    names = ",".join(f'"q:p{number}"' for number in range(met))
    meets = ",".join(f"{{ratio=1,at=[{n % 8 + 1},{n // 8},0],types=[{names}]}}" for n in range(64))
    one = f'{{role="transmission",entity=false,pose={{facing="f"}},meets=[{meets}]}}'
    return "[parts]\n" + "".join(f'"q:p{number}"={one}\n' for number in range(count))


def test_more_types_met_than_can_be_compared_are_one_mistake() -> None:
    assert MOST_MEETINGS * 6 * 52 < MOST_MET < MOST_MEETINGS * 6 * 53
    assert mistakes_in(_meeting_types(52, 6)) == ()
    (mistake,) = mistakes_in(_meeting_types(53, 6))
    assert (mistake.line, mistake.key, mistake.expected) == (8, "parts", "at most 20,000")
    assert mistake.found == (
        "found own offsets that name 20,352 types in all the catalogues together"
    )


def _storing_types(key: str, each: int) -> str:
    count = MOST_STORED // each + 1
    body = "[parts]\n"
    for number in range(count):
        items = ",".join(f'"{number}_{item}"' for item in range(each))
        ids = items if key == "entity" else '"e"'
        ends = "" if key == "entity" else f',ends={{front={{stored=["a",{items}]}}}}'
        body += f'"q:p{number}"={{role="transmission",pose={{front="up"}},entity=[{ids}]{ends}}}\n'
    return body


def test_more_block_entity_ids_than_a_run_can_hold_are_one_mistake() -> None:
    (mistake,) = mistakes_in(_storing_types("entity", 200))
    assert mistake == Mistake(
        FILE,
        0,
        "parts",
        "found 30,200 different block-entity ids in all the catalogues together",
        "at most 30,000",
    )
