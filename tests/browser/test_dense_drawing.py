"""A dense build is drawn without gaps, far away and near."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from analyzer.pipeline.audit_scan import audit_scan
from analyzer.report.page.audit_page import iter_audit_page
from tests.bench.shapes import grid, quayworks, scan_of
from tests.browser.visit import picture, visit

#: Tiles of the inner paper, 40 pixels wide, in which nothing but paper and grid lines is drawn.
EMPTY = """() => {
  const canvas = document.getElementById('paper-canvas'), {width, height} = canvas;
  const pixels = canvas.getContext('2d').getImageData(0, 0, width, height).data;
  const empty = [];
  for (let y = 40; y + 40 < height; y += 40) {
    for (let x = 60; x + 40 < width; x += 40) {
      let inked = 0;
      for (let row = y; row < y + 40; row++) {
        for (let at = 4 * (row * width + x); at < 4 * (row * width + x + 40); at += 4) {
          // The colour of turning parts has far less red than blue; paper and grid have not.
          if (pixels[at + 2] - pixels[at] > 50) inked++;
        }
      }
      if (inked < 50) empty.push([x, y, inked]);
    }
  }
  return empty;
}"""


@pytest.fixture(scope="module")
def field(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a square of 120 x 120 gears, wider than seven chunks."""
    page = tmp_path_factory.mktemp("field") / "field.html"
    audit = audit_scan(scan_of(grid(120 * 120 + 1)), quayworks())
    page.write_text("".join(iter_audit_page(audit)), "utf-8")
    return page


@pytest.mark.parametrize("closer", [2, 4, 6])
def test_a_field_of_gears_leaves_no_gap(browser: Any, field: Path, closer: int) -> None:
    with visit(browser, field) as tab:
        for _ in range(closer):
            tab.click("#zoom-in")
        picture(tab)
        assert tab.evaluate(EMPTY) == []
