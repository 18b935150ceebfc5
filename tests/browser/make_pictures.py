"""Make docs/pictures from the demo save: ``python -m tests.browser.make_pictures``."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any

from analyzer.pipeline.advise import advise_save, spend_save
from analyzer.report.page.audit_page import iter_advice_page, iter_audit_page
from tests.browser.conftest import NAMES
from tests.support.demo import demo_audit

PICTURES = Path(__file__).parents[2] / "docs" / "pictures"


def make_pictures(browser: Any, page: Path) -> None:
    """Take a picture of the page with a finding shown, and one of a power diagram."""
    context = browser.new_context(
        viewport={"width": 1440, "height": 900}, color_scheme="light", reduced_motion="reduce"
    )
    tab = context.new_page()
    tab.goto(page.as_uri())
    tab.wait_for_selector("html[data-ready]", state="attached")
    tab.locator("#finding-list > li", has_text="6 parts stand in a loop").locator("summary").click()
    tab.click("#finding-list .inside >> text=Show it on the drawing")
    tab.evaluate("scrollTo(0, 0)")
    tab.wait_for_timeout(300)
    upper = {"x": 0, "y": 0, "width": 1440, "height": 1120}
    tab.screenshot(path=PICTURES / "page.png", full_page=True, clip=upper)
    tab.fill("#network-text", "-11,64,10")
    tab.click("#network-table tbody >> text=power")
    # As high as the diagram: what is empty below it shows nothing.
    tab.evaluate(
        "for (const id of ['board', 'power']) {"
        " document.getElementById(id).style.height = 'auto';"
        " document.getElementById(id).style.position = 'static'; }"
    )
    tab.wait_for_timeout(300)
    tab.locator("#power").screenshot(path=PICTURES / "power.png")
    context.close()


def picture_change(browser: Any, page: Path) -> None:
    """Take a picture of what a remedy would do."""
    context = browser.new_context(
        viewport={"width": 1440, "height": 900}, color_scheme="light", reduced_motion="reduce"
    )
    tab = context.new_page()
    tab.goto(page.as_uri())
    tab.wait_for_selector("html[data-ready]", state="attached")
    tab.select_option("#by-rule", "overload")
    tab.locator("#finding-list summary").first.click()
    tab.locator("#finding-list >> text=Show the change").nth(2).click()
    for _ in range(3):
        tab.click("#zoom-in")
    tab.wait_for_timeout(300)
    tab.screenshot(
        path=PICTURES / "change.png", clip={"x": 0, "y": 0, "width": 1440, "height": 800}
    )
    context.close()


def main() -> None:
    """Make the pictures anew."""
    from playwright.sync_api import sync_playwright

    found = next(filter(None, map(shutil.which, NAMES)))
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        page = Path(folder) / "page.html"
        page.write_text("".join(iter_audit_page(demo_audit())), "utf-8")
        chromium = driver.chromium.launch(executable_path=found, args=["--no-sandbox"])
        make_pictures(chromium, page)
        advice, power = advise_save(demo_audit()), spend_save(demo_audit())
        page.write_text("".join(iter_advice_page(demo_audit(), advice, power)), "utf-8")
        picture_change(chromium, page)
        chromium.close()


if __name__ == "__main__":
    main()
