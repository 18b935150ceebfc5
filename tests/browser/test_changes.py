"""Changes shown over the drawing and the power diagram, in a real browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.test_page import grave
from tests.browser.visit import DESKTOP, PHONE, picture, visit


def remedies(tab: Any, rule: str) -> Any:
    """Open the first finding of a rule; return the ways to mend it."""
    tab.select_option("#by-rule", rule)
    tab.locator("#finding-list summary").first.click()
    # What a finding opens to is made after the click.
    tab.wait_for_selector("#finding-list .inside")
    return tab.locator("#finding-list .remedies > li")


def test_a_finding_lists_the_ways_to_mend_it(browser: Any, advice_page: Path) -> None:
    with visit(browser, advice_page) as tab:
        ways = remedies(tab, "overload")
        assert ways.count() == 3
        assert "put 1 more quayworks:tide_wheel on the shaft" in ways.first.inner_text()
        assert "cost: 1. gives up: nothing." in ways.first.inner_text()


def test_the_page_of_an_audit_has_no_changes(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        assert remedies(tab, "overload").count() == 0
        assert not tab.is_visible("#changes")


def test_a_change_is_laid_over_the_drawing_and_taken_away_again(
    browser: Any, advice_page: Path
) -> None:
    with visit(browser, advice_page) as tab:
        gears = remedies(tab, "overload").nth(2)
        tab.locator("#finding-list .inside >> text=Show it on the drawing").click()
        tab.select_option("#drawn-network", label="3 64 24 (6 parts, overloaded)")
        as_it_is = picture(tab)
        gears.locator("text=Show the change").click()
        said = tab.inner_text("#change")
        assert "put a pair of gears between quayworks:tide_wheel at 3 64 24" in said
        assert "overloaded, 6 parts, 256 hands given, 320 hands asked for" in said
        assert "turning (full), 6 parts, 256 hands given, 256 hands asked for" in said
        assert picture(tab) != as_it_is
        tab.focus("#paper-canvas")
        for _ in range(2):
            tab.keyboard.press("n")
        assert "-6.4 rpm about x (was 8 rpm)" in tab.inner_text("#readout")
        tab.click("#as-it-is")
        assert not tab.is_visible("#change")
        tab.keyboard.press("Escape")
        tab.select_option("#drawn-network", "-1")
        tab.select_option("#drawn-network", label="3 64 24 (6 parts, overloaded)")
        assert picture(tab) == as_it_is


def test_a_power_diagram_tells_speeds_before_and_after(browser: Any, advice_page: Path) -> None:
    with visit(browser, advice_page) as tab:
        remedies(tab, "overload").nth(2).locator("text=Show the change").click()
        tab.click("#change >> text=Plan or power diagram")
        heads = tab.locator("#power text.head").all_text_contents()
        assert heads == ["8 rpm about x", "8 rpm → -6.4 rpm about x"]
        assert tab.locator("#power text.changed").all_text_contents() == [
            "8 rpm → -6.4 rpm about x",
            "gears: × -4/5",
        ]
        assert "0 hands left" in tab.inner_text("#power")
        tab.click("#as-it-is")
        assert tab.locator("#power text.head").all_text_contents() == ["8 rpm about x"]
        assert "64 hands too much" in tab.inner_text("#power")


def test_a_part_that_is_taken_away_is_told(browser: Any, advice_page: Path) -> None:
    with visit(browser, advice_page) as tab:
        ways = remedies(tab, "loop-conflict")
        ways.filter(has_text="take away").first.locator("text=Show the change").click()
        tab.click("#change >> text=Plan or power diagram")
        assert tab.locator("#power rect.gone").count() == 1
        assert "taken away" in tab.inner_text("#power")
        # What proved that the network cannot turn is no longer drawn as if it held.
        assert tab.locator("#power path.clash").count() == 0


def test_spare_power_is_shown_over_the_drawing(browser: Any, advice_page: Path) -> None:
    with visit(browser, advice_page) as tab:
        change = tab.locator("#change-list > li", has_text="network at 42 64 -11")
        assert "nothing better exists" in change.inner_text()
        change.locator("text=Show the change").click()
        assert "256 hands given, 256 hands asked for" in tab.inner_text("#change")
        tab.click("#change >> text=Plan or power diagram")
        assert "12 rpm → -24 rpm about x" in tab.inner_text("#power")
        assert "0 hands left" in tab.inner_text("#power")


def test_keys_alone_show_a_change(browser: Any, advice_page: Path) -> None:
    with visit(browser, advice_page) as tab:
        button = remedies(tab, "over-speed").first.locator("text=Show the change")
        button.focus()
        tab.keyboard.press("Enter")
        assert "Shown as changed" in tab.inner_text("#change")
        assert tab.inner_text("#spoken").startswith("Shown as changed: ")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
def test_no_serious_finding_of_accessibility_while_a_change_is_shown(
    browser: Any, advice_page: Path, scheme: str, size: dict[str, int]
) -> None:
    with visit(browser, advice_page, color_scheme=scheme, viewport=size) as tab:
        remedies(tab, "loop-conflict").first.locator("text=Show the change").click()
        found = grave(tab)
        tab.click("#change >> text=Plan or power diagram")
        found += grave(tab)
        assert tab.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert found == []
