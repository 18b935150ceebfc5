"""Names in a save that would steer a terminal, a page or a spreadsheet, in every format."""

from __future__ import annotations

import csv
import gzip
import io
import json
import unicodedata
from html.parser import HTMLParser
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import pytest

from tests.damage.damage import BESIDE, CATALOGUE, WHEEL
from tests.save.chunks import chunk_tree, entity, palette_entry, region, section, stored
from tests.save.nbt_bytes import Tag, compound, integer, text, tree
from tests.support.command import lineshaft

#: What names of blocks, block entities, properties and the world itself are made of.
NAMES: Final = (
    "\x1b[2J\x1b]0;owned\x07\x9b31m",
    "</script><script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "=cmd|' /C calc'!A0",
    "@SUM(1+1)",
    "\t=1+1",
    "\r\n=1+1\n",
    "\u202egnp.exe\u2066\u200b\ufeff",
    "]]><!--<?xml",
    "\ud800 half of a pair",
    "\x00",
)
COMMANDS: Final = {
    "audit": [["--format", form] for form in ("text", "json", "csv", "sarif", "html")],
    "parts": [["--format", form] for form in ("csv",)],
    "networks": [["--format", form] for form in ("text", "csv")],
    "advise": [["--format", form] for form in ("text", "json")],
    "share-check": [["--format", form] for form in ("text", "json")],
    "survey": [["--format", "text"], ["--format", "json"], ["--list"], ["--draft", "draft.toml"]],
    "explain": [["--format", form, at, "64", "8"] for form in ("text", "json") for at in "0123"],
}
#: Characters that no report holds, beside the end of a line.
UNSEEN: Final = {"Cc", "Cf", "Cs", "Zl", "Zp"}


@pytest.fixture(scope="module")
def save(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A save in which every name is hostile, with its catalogue beside it."""
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "slipway.toml").write_text(CATALOGUE, "utf-8")
    save = folder / "save"
    (save / "region").mkdir(parents=True)
    level = tree(
        compound(Data=compound(LevelName=_java("".join(NAMES)), DataVersion=integer(3955)))
    )
    (save / "level.dat").write_bytes(gzip.compress(level, mtime=0))
    palette = ["minecraft:air", WHEEL]
    states = [palette_entry(state) for state in palette]
    for name in NAMES:
        states.append(compound(Name=_java(name)))
        states.append(compound(Name=_java(f"quayworks:{name}")))
        states.append(compound(Name=text("quayworks:shaft"), Properties=compound(axis=_java(name))))
    cells = {8 << 4 | x: 1 + x for x in range(len(states) - 1) if x < 16}
    cells |= {9 << 4 | x - 16: 1 + x for x in range(16, len(states) - 1)}
    entities = [entity("quayworks:wheel", 0, 64, 8)]
    entities += [entity("quayworks:shaft", n % 16, 64, 8 + n // 16) for n in range(1, len(states))]
    entities += [
        compound(
            id=_java(name),
            x=integer(n),
            y=integer(65),
            z=integer(0),
            Owner=_java(f"http://{name}/ /home/{name}"),
            n=integer(3),
        )
        for n, name in enumerate(NAMES)
    ]
    whole = section(4, ["x"] * len(states), cells)
    named = whole.body.replace(_palette("x", len(states)), b"".join(s.body for s in states))
    chunk = chunk_tree(0, 0, entities=entities, sections=[Tag(whole.number, named)])
    (save / "region" / "r.0.0.mca").write_bytes(region({0: stored(chunk)}))
    (save / "region" / "r.-1.0.mca").write_bytes(BESIDE)
    for folder, odd in (("playerdata", "\x1b[2J<script>\u202e"), ("stats", "=1+1")):
        (save / folder).mkdir()
        (save / folder / f"{odd}.json").write_bytes(b"{}")
    for odd in ("r.0.0.mca\x1b[2J", "r.=1+1.0.mca", "\u202er.1.0.mca", "r.0.0.mca.bak"):
        (save / "region" / odd).write_bytes(b"odd")
    return save


@pytest.mark.parametrize(
    ("command", "options"),
    [(command, options) for command, all_of in COMMANDS.items() for options in all_of],
    ids=lambda value: "-".join(value).strip("-") if isinstance(value, list) else value,
)
@pytest.mark.parametrize("terminal", [False, True])
def test_no_name_reaches_anything_alive(
    save: Path, tmp_path: Path, command: str, options: list[str], terminal: bool
) -> None:
    target = tmp_path / "draft.toml"
    form = options[-1]
    options = [str(target) if option == "draft.toml" else option for option in options]
    fixed = ["--catalogue", save.parent / "slipway.toml", "--no-config", "--quiet"]
    done = lineshaft(command, save, *options, *fixed, terminal=terminal, encoding="utf-8")
    assert done.status in (0, 1), done.err
    shown = done.out + done.err + (target.read_text("utf-8") if target.exists() else "")
    assert shown
    if command in ("audit", "share-check", "survey") and form != "csv":
        assert "alert(1)" in shown
    kept = shown.replace("\r\n", "\n")
    assert {c for c in kept if c != "\n" and unicodedata.category(c) in UNSEEN} == set()
    if form in ("json", "sarif"):
        json.loads(done.out)
    if form in ("csv", "--list"):
        check_table(done.out)
    if form == "html":
        check_page(done.out)


@pytest.mark.parametrize("view", ["plan", "elevation", "power"])
def test_no_name_is_alive_in_a_picture(save: Path, tmp_path: Path, view: str) -> None:
    target = tmp_path / "drive.svg"
    fixed = ["--catalogue", save.parent / "slipway.toml", "--no-config", "--output", target]
    done = lineshaft("draw", save, "--network", "-2,64,8", "--view", view, *fixed)
    assert done.status == 0, done.err
    drawn = target.read_text("utf-8")
    tags = {element.tag.partition("}")[2] for element in ElementTree.fromstring(drawn).iter()}
    assert not tags & {"script", "img", "image", "foreignObject", "a"}
    assert all(ord(c) >= 32 or c == "\n" for c in drawn)


def test_the_path_of_a_folder_steers_no_terminal(tmp_path: Path) -> None:
    folder = tmp_path / "quay\x1b[2J\u202e\nlineshaft: all is well"
    folder.mkdir()
    for given in (folder, folder / "missing"):
        done = lineshaft("audit", given, terminal=True, encoding="utf-8")
        assert done.status == 2
        assert done.err.count("\n") == 1
        assert not {c for c in done.err[:-1] if unicodedata.category(c) in UNSEEN}
    (folder / "r.0.0.mca").write_bytes(BESIDE)
    done = lineshaft("audit", folder, "--output", folder.parent / "\x1b[2J", terminal=True)
    assert "\x1b" not in done.err
    told = lineshaft("audit", folder, terminal=True, encoding="utf-8")
    assert not {c for c in told.out + told.err if unicodedata.category(c) in UNSEEN} - {"\n"}


def check_table(out: str) -> None:
    for row in csv.reader(io.StringIO(out)):
        for cell in row:
            if cell.startswith(("=", "+", "-", "@", "\t", "\r")):
                float(cell)


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.handlers: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.handlers += [name for name, _ in attrs if name.startswith("on")]


def check_page(out: str) -> None:
    page = _Page()
    page.feed(out)
    assert "img" not in page.tags
    assert page.handlers == []
    assert page.tags.count("script") == 2


def _java(name: str) -> Tag:
    # As the game writes text: no zero byte, and each half of a pair by itself.
    raw = name.replace("\x00", "\ufffe").encode("utf-8", "surrogatepass")
    return text(raw.replace("\ufffe".encode(), b"\xc0\x80"))


def _palette(name: str, count: int) -> bytes:
    return palette_entry(name).body * count
