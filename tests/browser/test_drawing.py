"""The drawing in a real browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.browser.visit import PHONE, picture, visit

CANVAS = "#paper-canvas"


def drag(tab: Any, dx: int, dy: int) -> None:
    box = tab.locator(CANVAS).bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    tab.mouse.move(x, y)
    tab.mouse.down()
    tab.mouse.move(x + dx, y + dy, steps=4)
    tab.mouse.up()


def show(tab: Any, rule: str) -> None:
    """Open the first finding of a rule and follow it onto the drawing."""
    tab.select_option("#by-rule", rule)
    tab.locator("#finding-list summary").first.click()
    tab.locator("#finding-list .inside >> text=Show it on the drawing").first.click()


def test_dragging_pans_and_dragging_back_brings_back_the_same_picture(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        tab.locator(CANVAS).scroll_into_view_if_needed()
        tab.mouse.move(5, 5)
        before = picture(tab)
        drag(tab, 80, 32)
        moved = picture(tab)
        assert moved != before
        tab.focus(CANVAS)
        drag(tab, -80, -32)
        assert picture(tab) == before


def test_zooming_in_and_out_again_keeps_the_place(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        before = picture(tab)
        tab.click("#zoom-in")
        assert picture(tab) != before
        tab.click("#zoom-out")
        tab.click("#zoom-fit")
        fitted = picture(tab)
        tab.click("#zoom-in")
        tab.click("#zoom-fit")
        assert picture(tab) == fitted


def test_the_wheel_zooms_only_once_the_drawing_was_chosen(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        tab.locator(CANVAS).scroll_into_view_if_needed()
        box = tab.locator(CANVAS).bounding_box()
        tab.mouse.move(box["x"] + 200, box["y"] + 200)
        before = picture(tab)
        tab.mouse.wheel(0, -50)
        tab.wait_for_timeout(100)
        assert picture(tab) == before
        tab.focus(CANVAS)
        tab.mouse.wheel(0, -300)
        tab.wait_for_timeout(100)
        assert picture(tab) != before


def test_keys_pan_zoom_fit_and_step_through_parts_and_findings(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        tab.focus(CANVAS)
        seen = [picture(tab)]
        for key in ("ArrowLeft", "ArrowDown", "+"):
            tab.keyboard.press(key)
            seen.append(picture(tab))
        assert len(set(seen)) == len(seen)
        tab.keyboard.press("n")
        first = tab.inner_text("#readout")
        assert "-28 64 -10" in first
        assert "quayworks:tide_wheel" in tab.inner_text("#spoken")
        tab.keyboard.press("n")
        assert "-27 64 -10" in tab.inner_text("#readout")
        tab.keyboard.press("p")
        assert tab.inner_text("#readout") == first
        tab.keyboard.press("f")
        assert "mover-conflict" in tab.inner_text("#readout")
        tab.keyboard.press("Escape")
        assert not tab.is_visible("#readout")


def test_pointing_at_a_part_says_what_it_is_how_it_turns_and_its_share(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        show(tab, "overload")
        picture(tab)
        tab.focus(CANVAS)
        tab.keyboard.press("Escape")
        # What was shown stands above the middle of the paper.
        box = tab.locator(CANVAS).bounding_box()
        x = box["x"] + (46 + box["width"]) / 2
        tab.mouse.move(x, box["y"] + 22 + (box["height"] - 22) * 0.36)
        told = tab.inner_text("#readout")
        assert "quayworks:spar_lathe" in told
        assert "4 64 24 in minecraft:overworld" in told
        assert "would turn at 8 rpm about x" in told
        assert "asks for 64 hands, 25 % of the network's 256" in told
        assert "overload" in told
        tab.mouse.move(x, box["y"] + box["height"] - 5)
        assert not tab.is_visible("#readout")


def test_a_finding_is_shown_at_its_place_with_its_witness(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        show(tab, "loop-conflict")
        assert tab.evaluate("document.activeElement.id") in ("drawing", "")
        assert "loop-conflict" in tab.inner_text("#readout")
        chosen = picture(tab)
        tab.focus(CANVAS)
        tab.keyboard.press("Escape")
        assert picture(tab) != chosen


def test_elevations_and_a_range_of_heights_choose_what_is_drawn(
    browser: Any, demo_page: Path
) -> None:
    with visit(browser, demo_page) as tab:
        label = "document.getElementById('paper-canvas').getAttribute('aria-label')"
        assert tab.evaluate(label).startswith("Plan from above of dimension minecraft:overworld")
        tab.click("#views button[value=south]")
        assert tab.evaluate(label).startswith("Elevation from the south")
        assert "z" in tab.inner_text("#depth-name")
        tab.click("#views button[value=plan]")
        everything = tab.evaluate(label)
        tab.fill("#depth-low", "70")
        tab.press("#depth-low", "Enter")
        assert tab.evaluate(label) != everything
        tab.select_option("#drawn-dimension", label="quayworks:undercroft")
        assert "undercroft" in tab.evaluate(label)
        assert tab.input_value("#depth-low") == ""


def test_the_drawing_has_a_table_that_says_the_same(browser: Any, demo_page: Path) -> None:
    with visit(browser, demo_page) as tab:
        show(tab, "overload")
        tab.click("#listed summary")
        table = tab.inner_text("#listed table")
        assert "4 64 24" in table
        assert "error: overload" in table
        tab.click("#listed td button >> text=4 64 24")
        assert "spar_lathe" in tab.inner_text("#readout")


def test_a_finger_pans_and_two_zoom_on_a_phone(browser: Any, demo_page: Path) -> None:
    touch = """([moves]) => {
      const canvas = document.getElementById('paper-canvas');
      canvas.setPointerCapture = () => {};
      for (const [type, pointerId, x, y] of moves) canvas.dispatchEvent(new PointerEvent(type,
        {pointerId, pointerType: 'touch', clientX: x, clientY: y, bubbles: true}));
    }"""
    with visit(browser, demo_page, viewport=PHONE, has_touch=True, is_mobile=True) as tab:
        before = picture(tab)
        tab.evaluate(
            touch,
            [[["pointerdown", 1, 100, 300], ["pointermove", 1, 160, 330], ["pointerup", 1, 0, 0]]],
        )
        panned = picture(tab)
        assert panned != before
        tab.evaluate(
            touch,
            [
                [
                    ["pointerdown", 1, 100, 300],
                    ["pointerdown", 2, 200, 300],
                    ["pointermove", 2, 300, 300],
                    ["pointerup", 2, 300, 300],
                    ["pointerup", 1, 100, 300],
                ]
            ],
        )
        assert picture(tab) != panned
