"""What the pages about catalogues show is what the program does."""

from __future__ import annotations

import doctest
import re
import shlex
from pathlib import Path

import pytest

from analyzer.base.frame import FACES, SIDES, pose_facing
from analyzer.base.frame_tables import POSE_FACES
from analyzer.catalogue.format import PART, TABLES
from analyzer.catalogue.load import load_catalogue_text
from analyzer.cli.main import run
from analyzer.demo.content import place
from analyzer.demo.parts import part
from tests.catalogue.key_tables import PAGE, marked_tables, with_tables
from tests.catalogue.texts import FILE, HEAD, mistakes_in
from tests.support.saves import save_of

TUTORIAL = PAGE.with_name("catalogue-tutorial.md")
_BLOCK = re.compile(r"^```(\w+)(?: (\w+))?\n(.*?)^```$", re.DOTALL | re.MULTILINE)
_COMMAND = re.compile(r"^\$ lineshaft (.*)\n((?:(?!\$ ).*\n)*)", re.MULTILINE)
KETTLE = "quayworks:pay_kettle"


def blocks(page: Path) -> list[tuple[str, str, str]]:
    """Return the language, the note and the text of each code block of a page."""
    found = _BLOCK.findall(page.read_text("utf-8"))
    return [(language, note, text) for language, note, text in found]


def test_the_key_tables_of_the_reference_page_are_those_of_the_table_of_keys() -> None:
    page = PAGE.read_text("utf-8")
    assert with_tables(page) == page
    assert sorted(marked_tables(page)) == sorted(
        table.name.removesuffix("_any") for table in TABLES
    )


def test_the_reference_page_mentions_every_key_of_an_entry_in_an_example() -> None:
    examples = "".join(text for language, _, text in blocks(PAGE) if language == "toml")
    assert [
        key.name for key in PART.keys if not re.search(rf"^{key.name} = ", examples, re.M)
    ] == []


@pytest.mark.parametrize(
    "text",
    [text for language, note, text in blocks(PAGE) if language == "toml" and not note],
    ids=lambda text: re.findall(r'parts\."quayworks:(\w+)"', text)[0],
)
def test_every_example_of_the_reference_page_passes_the_check(text: str) -> None:
    assert load_catalogue_text(text if "[catalogue]" in text else HEAD + text, FILE).types


def test_the_mistakes_of_the_reference_page_are_those_that_the_check_finds() -> None:
    (wrong,) = [text for _, note, text in blocks(PAGE) if note == "mistakes"]
    (said,) = [text for language, _, text in blocks(PAGE) if language == "text"]
    assert [str(mistake) for mistake in mistakes_in(wrong)] == said.splitlines()


def test_the_frame_rule_of_the_reference_page_is_that_of_the_program() -> None:
    rows = re.findall(r"^\| (\w+)[^|]*\| (\w+) \| (\w+) \|$", PAGE.read_text("utf-8"), re.M)
    written = {front: (top, right) for front, top, right in rows if front in FACES}
    assert set(written) == set(FACES)
    for front, (top, right) in written.items():
        faces = POSE_FACES[pose_facing(FACES.index(front))].tolist()
        assert FACES[faces[SIDES.index("top")]] == top
        assert FACES[faces[SIDES.index("right")]] == right


def _boatyard(folder: Path) -> None:
    """Write the tutorial's save."""
    save = save_of(
        folder,
        [
            part((2, 64, 2), "tide_wheel[facing=east]"),
            part((3, 64, 2), "trundle_12[axis=x]"),
            part((4, 64, 2), "line_shaft[axis=x]"),
            place(
                (5, 64, 2),
                f"{KETTLE}[facing=east,lid=open]",
                {"id": KETTLE, "Pitch": 12, "Fire": {"Heat": 3}},
            ),
            place(
                (3, 64, 3),
                f"{KETTLE}[facing=west,lid=shut]",
                {"id": KETTLE, "Pitch": 16, "Fire": {"Heat": 5}},
            ),
        ],
    )
    save.rename(folder / "boatyard")


def test_the_tutorial_can_be_followed_from_the_first_command_to_the_last(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    _boatyard(tmp_path)
    monkeypatch.chdir(tmp_path)
    commands = 0
    for language, note, text in blocks(TUTORIAL):
        if note == "drafted":
            assert Path("kettle.toml").read_text("utf-8") == text
        elif note == "filled":
            Path("kettle.toml").write_text(text, "utf-8")
        elif language == "console":
            for command, expected in _COMMAND.findall(text):
                run(shlex.split(command))
                said = "".join(capfd.readouterr())
                same = doctest.OutputChecker().check_output(expected, said, doctest.ELLIPSIS)
                assert same, f"{command}\n{said}"
                commands += 1
    assert commands == 7
