"""Networks and power diagrams in a real browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.browser.visit import visit
from tests.support.demo import demo_audit

ROWS = "#network-table tbody tr"


def column(tab: Any, number: int) -> list[str]:
    return list(tab.locator(f"{ROWS} > td:nth-child({number})").all_inner_texts())


def test_networks_are_listed_by_size_and_sorted_by_any_column(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        assert tab.locator(ROWS).count() == len(demo_audit().networks)
        parts = [int(one) for one in column(tab, 7)]
        assert parts == sorted(parts, reverse=True)
        tab.click("#network-table th[data-key=capacity] button")
        capacity = [float(one.replace(",", "")) for one in column(tab, 4)]
        assert capacity == sorted(capacity, reverse=True)
        head = tab.locator("#network-table th[data-key=capacity]")
        assert head.get_attribute("aria-sort") == "descending"
        tab.click("#network-table th[data-key=capacity] button")
        assert head.get_attribute("aria-sort") == "ascending"
        tab.fill("#network-text", "overloaded")
        assert tab.locator(ROWS).count() == 1
        bar = tab.locator(f"{ROWS} svg.bar")
        assert bar.get_attribute("aria-label") == "125 % of capacity"


def test_a_power_diagram_says_where_the_budget_goes(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        tab.fill("#network-text", "overloaded")
        tab.click(f"{ROWS} >> text=power")
        told = tab.inner_text("#power")
        assert "The movers give 256 hands; the machines ask for 320 hands" in told
        assert "64 hands too much" in told
        assert "5 × quayworks:spar_lathe 320 (125 %)" in told
        assert "8 rpm about x" in tab.text_content("#power svg.diagram")
        tab.locator("#power svg.diagram g.node").first.click()
        assert tab.is_visible("#paper-canvas")
        assert "3 64 24" in tab.inner_text("#readout")


def test_a_contradiction_shows_both_ratios_between_two_shafts(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        tab.fill("#network-text", "22,64,-10")
        tab.click(f"{ROWS} >> text=power")
        ratios = tab.locator("#power g.ratio").all_text_contents()
        assert sorted(one.split("in conflict")[0].strip() for one in ratios) == ["× -2", "× -3"]
        assert tab.locator("#power path.way.clash").count() == 2


def test_shafts_that_only_carry_become_lines_with_the_product_of_their_ratios(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        # Six pairs of gears of 24 and 12 teeth, one after the other, and nothing at the end.
        tab.fill("#network-text", "17,64,22")
        tab.click(f"{ROWS} >> text=power")
        assert tab.locator("#power g.node").count() == 1
        tab.click("#power summary")
        assert tab.locator("#power tbody tr").count() == 7


def test_heaviest_networks_and_busiest_chunks_lead_to_the_drawing(
    browser: Any, demo_page: Path
) -> None:
    label = "document.getElementById('paper-canvas').getAttribute('aria-label')"
    with visit(browser, demo_page) as tab:
        tab.locator("#places a[data-network]").first.click()
        assert "network minecraft:overworld:42,64,0" in tab.evaluate(label)
        tab.locator("#places a[data-chunk]").first.click()
        assert "dimension minecraft:overworld" in tab.evaluate(label)
