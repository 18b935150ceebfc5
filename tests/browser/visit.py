"""A visit to a page: what it says on the console, and what it asks for, is an error."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

DESKTOP = {"width": 1440, "height": 900}
PHONE = {"width": 390, "height": 844}


@contextmanager
def visit(browser: Any, page: Path, *, fragment: str = "", **options: Any) -> Iterator[Any]:
    """Open a page from disk; fail where it complained or asked for anything but itself."""
    context = browser.new_context(**{"viewport": DESKTOP, "reduced_motion": "reduce", **options})
    tab = context.new_page()
    complaints: list[str] = []
    requests: list[str] = []
    tab.on("console", lambda message: complaints.append(f"{message.type}: {message.text}"))
    tab.on("pageerror", lambda error: complaints.append(str(error)))
    tab.on("request", lambda request: requests.append(request.url))
    tab.goto(page.as_uri() + fragment)
    tab.wait_for_selector("html[data-ready]", state="attached")
    yield tab
    context.close()
    assert complaints == []
    assert {url.partition("#")[0] for url in requests if not url.startswith("data:")} == {
        page.as_uri()
    }


def picture(tab: Any) -> bytes:
    """Return what the drawing shows at the moment."""
    # Two frames: one that the last change asked for, and one after it.
    tab.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    shown = tab.evaluate("document.getElementById('paper-canvas').toDataURL()")
    assert isinstance(shown, str)
    return shown.encode()
