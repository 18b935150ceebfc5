"""The page as a whole in a real browser: accessible, dark, printed, narrow, and without script."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.visit import DESKTOP, PHONE, picture, visit

axe = pytest.importorskip("axe_playwright_python.sync_playwright")
GRAVE = ("serious", "critical")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
def test_no_serious_finding_of_accessibility(
    browser: Any, demo_page: Path, scheme: str, size: dict[str, int]
) -> None:
    with visit(browser, demo_page, color_scheme=scheme, viewport=size) as tab:
        tab.locator("#finding-list summary").nth(1).click()
        tab.wait_for_selector("#finding-list .inside")
        tab.click("#legend summary")
        tab.click("#listed summary")
        found = grave(tab)
        tab.locator("#finding-list .inside >> text=Power diagram").first.click()
        tab.click("#power summary")
        found += grave(tab)
    assert found == []


def grave(tab: Any) -> list[str]:
    found = axe.Axe().run(tab).response["violations"]
    return [
        f"{one['id']}: {node['html'][:120]} {node['failureSummary'][:300]}"
        for one in found
        if one["impact"] in GRAVE
        for node in one["nodes"]
    ]


def test_dark_paper_follows_the_system_and_a_button(browser: Any, demo_page: Path) -> None:
    ground = "getComputedStyle(document.querySelector('.sheet')).backgroundColor"
    with visit(browser, demo_page, color_scheme="dark") as tab:
        dark = tab.evaluate(ground)
        drawn = picture(tab)
        tab.click("#paper")
        assert tab.evaluate(ground) != dark
        assert picture(tab) != drawn
        tab.click("#paper")
        assert tab.evaluate(ground) == dark
        assert picture(tab) == drawn


def test_print_opens_what_is_listed_on_white_paper(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page, color_scheme="dark") as tab:
        tab.fill("#by-text", "over-speed")
        tab.evaluate("dispatchEvent(new Event('beforeprint'))")
        tab.emulate_media(media="print")
        assert tab.is_visible("#finding-list .inside")
        assert not tab.is_visible("nav")
        assert not tab.is_visible("#filters")
        colour = "getComputedStyle(document.body).color"
        assert tab.evaluate(colour) == "rgb(22, 38, 58)"
        assert tab.pdf()[:4] == b"%PDF"
        tab.emulate_media(media="screen")
        tab.evaluate("dispatchEvent(new Event('afterprint'))")
        assert not tab.is_visible("#finding-list .inside")


@pytest.mark.parametrize("width", [320, 390, 768, 1024, 1440, 2560])
def test_nothing_is_wider_than_the_window(browser: Any, demo_page: Path, width: int) -> None:
    with visit(browser, demo_page, viewport={"width": width, "height": 800}) as tab:
        assert tab.evaluate("document.documentElement.scrollWidth") <= width


def test_without_script_the_head_and_what_was_read_are_there(browser: Any, demo_page: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    tab = context.new_page()
    tab.goto(demo_page.as_uri())
    text = tab.inner_text("body")
    context.close()
    assert "stand still" in text
    assert "Scripts are switched off" in text
    assert "bad-zlib-stream" in text
