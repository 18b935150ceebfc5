"""Tables, lists and sections of a page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from analyzer.report.page.markup import Markup, element


def section(name: str, title: str, *inside: str) -> Markup:
    """Return a section of the page with its heading, which can be linked to by name."""
    heading = element("h2", title, id=f"{name}-title")
    return element("section", heading, *inside, id=name, aria_labelledby=f"{name}-title")


def table(
    caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]], *, numbers: str = ""
) -> Markup:
    """Return a table that scrolls by itself where it is too wide.

    Parameters
    ----------
    caption
        What it shows.
    heads
        Names of the columns.
    rows
        Cells, as many a row as there are names; none gives a table without rows.
    numbers
        A letter a column: ``n`` where its cells are numbers; missing ones count as text.
    """
    kinds = numbers.ljust(len(heads))
    head = element(
        "tr",
        *(_cell("th", name, kind, scope="col") for name, kind in zip(heads, kinds, strict=True)),
    )
    body = [
        element("tr", *(_cell("td", text, kind) for text, kind in zip(row, kinds, strict=True)))
        for row in rows
    ]
    whole = element(
        "table", element("caption", caption), element("thead", head), element("tbody", *body)
    )
    return element("div", whole, _class="scroll", role="region", aria_label=caption, tabindex="0")


def items(texts: Iterable[str]) -> Markup:
    """Return a list."""
    return element("ul", *(element("li", text) for text in texts))


def _cell(name: str, text: str, kind: str, **attributes: str) -> Markup:
    if kind == "n":
        attributes["_class"] = "num"
    return element(name, text, **attributes)
