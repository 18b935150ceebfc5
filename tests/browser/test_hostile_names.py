"""Names that would be markup or scripts stay text in a real browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from analyzer.report.clean import shown
from analyzer.report.page.audit_page import iter_audit_page
from tests.browser.visit import visit
from tests.report.page.hostile import HOSTILE, hostile


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_shown_and_do_nothing(browser: Any, tmp_path: Path, name: str) -> None:
    page = tmp_path / "page.html"
    page.write_text("".join(iter_audit_page(hostile(name))), "utf-8")
    with visit(browser, page) as tab:
        tab.on("dialog", lambda dialog: pytest.fail(f"{name!r} spoke: {dialog.message}"))
        assert tab.locator("h1").text_content() == shown(name)
        tab.select_option("#by-rule", "overload")
        tab.locator("#finding-list summary").first.click()
        assert shown(name) in tab.locator("#finding-list .copy").first.text_content()
        tab.locator("#finding-list .inside >> text=Show it on the drawing").first.click()
        assert shown(name) in tab.text_content("#readout")
        tab.locator("#readout >> text=Power diagram").click()
        assert shown(name) in tab.text_content("#power")
        assert tab.locator("img, b b, iframe").count() == 0
        assert tab.locator("script").count() == 2
