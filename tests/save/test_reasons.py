"""Every reason of the reader has its place in the docs, and every one there is given."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]

# Made from the compression's name.
COMPOSED = {"bad-gzip-stream", "bad-zlib-stream"}


def test_the_docs_list_the_reasons_that_the_reader_gives() -> None:
    page = (ROOT / "docs" / "save-format.md").read_text("utf-8")
    table = page[page.index("### Reasons") : page.index("## Sources")]
    listed = set(re.findall(r"`([a-z0-9]+(?:-[a-z0-9]+)+)`", table))
    given = set(COMPOSED)
    for path in (ROOT / "analyzer" / "save").rglob("*.py"):
        given.update(re.findall(r'"([a-z0-9]+(?:-[a-z0-9]+)+)"', path.read_text("utf-8")))
    assert {reason for reason in given if not reason.startswith("utf-")} == listed
