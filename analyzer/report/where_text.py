"""Where a finding is, on the line that names it."""

from __future__ import annotations

from analyzer.base.place import Block
from analyzer.report.clean import shown
from analyzer.report.sentences import place


def where_text(dimension: str | None, at: Block | None) -> str:
    """Return where a finding is, as the end of a line; without a dimension, in the whole save.

    >>> where_text("quay", Block(1, 64, 2)), where_text("", None)
    (' at 1 64 2 in quay', ', the save as a whole')
    """
    if not dimension:
        return ", the save as a whole"
    where = "" if at is None else f" at {place(at)}"
    return f"{where} in {shown(dimension)}"
