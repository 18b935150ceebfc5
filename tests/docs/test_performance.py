"""The page of figures is made from what was measured, and says what was asked."""

from __future__ import annotations

import json

from tests.bench.page import PAGE, page
from tests.bench.run import RESULTS


def test_the_page_is_made_from_the_figures() -> None:
    results = json.loads(RESULTS.read_text("utf-8"))
    assert PAGE.read_text("utf-8") == page(results)


def test_what_falls_short_is_explained() -> None:
    text = PAGE.read_text("utf-8")
    short = text.count("**not met**")
    # Each has its paragraph below, with its own heading.
    assert ("## What falls short" in text) == (short > 0)
