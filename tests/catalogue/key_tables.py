"""The key tables of the reference page, made from the format's table of keys.

Run as a program, this writes the schema and the tables anew.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))

from analyzer.catalogue.format import TABLES  # noqa: E402
from analyzer.catalogue.schema import schema_text  # noqa: E402
from analyzer.catalogue.shapes import Either, Fixed, Shape, Table, Word  # noqa: E402

PAGE = ROOT / "docs" / "catalogue.md"
SCHEMA = ROOT / "analyzer" / "catalogue" / "catalogue.schema.json"
#: What stands between a table's marks is made by this module.
_MARKED = re.compile(r"(?<=<!-- keys: )(\w+)( -->\n).*?(?=<!-- end of keys -->)", re.DOTALL)
_NUMBERS = {
    "number_any": "[number](#numbers)",
    "number_nonzero": "[number](#numbers) other than 0",
    "number_positive": "[number](#numbers) above 0",
    "number_not_negative": "[number](#numbers) of at least 0",
}
_LINKS = {
    "pose": "[pose](#pose)",
    "ends": "[ends](#ends)",
    "end": "[number](#numbers) other than 0, or [a table](#ends)",
    "rim": "[rim](#rim)",
    "link": "[link](#links)",
    "partner": "[partner](#links)",
    "switch": "[switch](#switches)",
    "governor": "[governor](#governors)",
    "recorded": "[where it is stored](#recorded-speed)",
    "warnings": "[thresholds](#thresholds-of-warnings)",
}


def with_tables(page: str) -> str:
    """Return the page with every table between marks made anew."""
    tables = {table.name.removesuffix("_any"): table for table in TABLES}
    return _MARKED.sub(lambda mark: f"{mark[1]}{mark[2]}{key_table(tables[mark[1]])}", page)


def marked_tables(page: str) -> list[str]:
    """Return the names of the tables that a page holds."""
    return [mark[1] for mark in _MARKED.finditer(page)]


def key_table(table: Table) -> str:
    """Return one table of keys in Markdown."""
    return "".join(_lines(table))


def _lines(table: Table) -> Iterator[str]:
    yield "| key | value | without it | meaning |\n"
    yield "|---|---|---|---|\n"
    for key in table.keys:
        without = "a mistake" if key.required else key.default
        yield f"| `{key.name}` | {_kind(key.shape)} | {without} | {key.meaning} |\n"


def _kind(shape: Shape) -> str:
    if isinstance(shape, Word):
        return ", ".join(f"`{word}`" for word in shape.words)
    if isinstance(shape, Fixed):
        return f"`{shape.what}`"
    if isinstance(shape, Either | Table):
        return {**_NUMBERS, **_LINKS}.get(shape.name, shape.what)
    return shape.what


if __name__ == "__main__":
    SCHEMA.write_text(schema_text(), "utf-8")
    PAGE.write_text(with_tables(PAGE.read_text("utf-8")), "utf-8")
