"""Plain text for a terminal of 80 columns: headings, labelled paragraphs, columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

#: Columns that every line keeps to, unless one word or one command is longer.
WIDTH: Final = 80
#: Columns of the labels of a summary.
LABEL: Final = 12


def heading(text: str, rule: str) -> Iterator[str]:
    """Yield a heading with a rule of some character below it.

    >>> print("".join(heading("Ropewalk", "-")), end="")
    Ropewalk
    --------
    """
    yield f"{text}\n"
    yield f"{rule * min(len(text), WIDTH)}\n"


def labelled(label: str, text: str, *, indent: int = 0, width: int = LABEL) -> Iterator[str]:
    """Yield a paragraph with a label at its left and the rest hanging beside it.

    >>> print("".join(labelled("where", "12 64 -30", indent=2, width=7)), end="")
      where  12 64 -30
    """
    first = " " * indent + label.ljust(width)
    yield from paragraph(text, first=first, rest=" " * len(first))


def paragraph(text: str, *, first: str = "", rest: str | None = None) -> Iterator[str]:
    """Yield text wrapped to the width; words are never broken, so that commands stay whole."""
    lines = textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=first if rest is None else rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    for line in lines or [first.rstrip()]:
        yield f"{line}\n"


def columns(rows: Iterable[Sequence[str]], *, right: str, indent: int = 2) -> Iterator[str]:
    """Yield rows in columns two blanks apart.

    Parameters
    ----------
    rows
        Cells of equally long rows, a header among them; none yields nothing.
    right
        For each column ``r`` to set it right or ``l`` to set it left.
    indent
        Blanks at the left.

    >>> print("".join(columns([("parts", "state"), ("12", "idle")], right="rl")), end="")
      parts  state
         12  idle
    """
    table = list(rows)
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    for row in table:
        cells = [
            text.rjust(width) if side == "r" else text.ljust(width)
            for text, width, side in zip(row, widths, right, strict=True)
        ]
        yield f"{' ' * indent}{'  '.join(cells)}".rstrip() + "\n"
