"""The list of findings in a real browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.browser.visit import visit
from tests.support.demo import demo_audit

ITEMS = "#finding-list > li"


def found(tab: Any) -> list[str]:
    return list(tab.locator(f"{ITEMS} .what").all_inner_texts())


def test_the_page_opens_from_disk_and_lists_every_finding(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        rules = sorted(one.split(",")[0] for one in found(tab))
        assert rules == sorted(one.rule for one in demo_audit().findings.items)
        assert tab.inner_text("h1") == "Quayworks boatyard and ropewalk"
        assert "stand still" in tab.inner_text(".verdict")


def test_filters_narrow_the_list_and_say_how_many_are_left(browser: Any, demo_page: Path) -> None:
    audit = demo_audit()
    errors = [one for one in audit.findings.items if str(one.level) == "error"]
    with visit(browser, demo_page) as tab:
        tab.uncheck("#filters input[value='2']")
        tab.uncheck("#filters input[value='1']")
        assert len(found(tab)) == len(errors)
        assert f"{len(errors)} of {len(audit.findings.items)}" in tab.inner_text("#found")
        tab.select_option("#by-rule", "loop-conflict")
        assert set(found(tab)) == {"loop-conflict"}
        tab.fill("#by-text", "bull_gear_36")
        assert len(found(tab)) == 1
        tab.fill("#by-text", "no such thing")
        assert found(tab) == []
        tab.click("#filters button[type=reset]")
        tab.locator(ITEMS).nth(len(audit.findings.items) - 1).wait_for()
        tab.select_option("#by-dimension", "quayworks:undercroft")
        assert found(tab) == ["undriven-machines"]
        tab.select_option("#by-dimension", "*")
        tab.fill("#by-network", "minecraft:overworld:3,64,24")
        assert found(tab) == ["overload"]


def test_findings_are_ordered_by_what_is_chosen(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        tab.select_option("#order", "rule")
        rules = [one.split(",")[0] for one in found(tab)]
        assert rules == sorted(rules)
        tab.select_option("#order", "level")
        levels = tab.locator(f"{ITEMS} summary > svg").evaluate_all(
            "marks => marks.map(mark => mark.getAttribute('aria-label'))"
        )
        assert levels == sorted(levels, key=["error", "warning", "note"].index)


def test_a_finding_opens_to_its_proof_and_what_to_do(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        tab.fill("#by-text", "bull_gear_36")
        tab.locator(f"{ITEMS} summary").click()
        inside = tab.inner_text(f"{ITEMS} .inside")
        assert "23 64 -10" in inside
        assert "once round: 2/3" in inside
        assert "turns the next 2 times as fast, the other way" in inside
        assert "Open the loop" in inside
        tab.locator(f"{ITEMS} summary").press("Enter")
        assert not tab.locator(f"{ITEMS} .inside").is_visible()


def test_one_click_copies_the_teleport_line(browser: Any, demo_page: Path) -> None:
    line = "/execute in minecraft:overworld run tp @s 23 70 28"
    with visit(browser, demo_page, permissions=["clipboard-read", "clipboard-write"]) as tab:
        tab.fill("#by-text", "over-speed")
        tab.locator(f"{ITEMS} summary").click()
        tab.click(f"{ITEMS} .copy")
        tab.wait_for_selector(".copy.done")
        assert tab.evaluate("navigator.clipboard.readText()") == line
        assert line in tab.inner_text("#spoken")


def test_a_line_is_copied_where_the_browser_offers_no_clipboard(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        tab.evaluate(
            "Object.defineProperty(navigator, 'clipboard', {value: undefined});"
            "document.addEventListener('copy', () => {"
            " window.copied = String(document.activeElement.value) })"
        )
        tab.fill("#by-text", "over-speed")
        tab.locator(f"{ITEMS} summary").click()
        tab.click(f"{ITEMS} .copy")
        tab.wait_for_selector(".copy.done")
        assert tab.evaluate("window.copied").startswith("/execute in minecraft:overworld")


def test_a_link_to_a_finding_opens_it(browser: Any, demo_page: Path) -> None:
    finding = next(one for one in demo_audit().findings.items if one.rule == "overload")
    with visit(browser, demo_page, fragment=f"#f-{finding.fingerprint}") as tab:
        assert found(tab) == ["overload"]
        assert tab.wait_for_selector(f"{ITEMS} .inside").is_visible()
