"""A real browser: Debian's Chromium, driven from outside."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

#: A browser of this name or path is used where the environment names one.
NAMES = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A headless browser; tests are skipped where none is installed."""
    playwright = pytest.importorskip(
        "playwright.sync_api", reason="no driver of browsers here: pip install -e '.[test]'"
    )
    named = os.environ.get("LINESHAFT_BROWSER")
    found = named or next(filter(None, map(shutil.which, NAMES)), None)
    if found is None:
        pytest.skip("no browser here: apt-get install chromium, or set LINESHAFT_BROWSER")
    with playwright.sync_playwright() as driver:
        # A container has no room for Chromium's own sandbox; the pages are ours.
        chromium = driver.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield chromium
        chromium.close()


@pytest.fixture(scope="session")
def demo_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of the demo save, as the command line writes it."""
    target = tmp_path_factory.mktemp("page") / "report.html"
    assert _write_page("audit", target) == 1
    return target


@pytest.fixture(scope="session")
def advice_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of what to change in the demo save, as the command line writes it."""
    target = tmp_path_factory.mktemp("page") / "advice.html"
    assert _write_page("advise", target) == 0
    return target


def _write_page(command: str, target: Path) -> int:
    from tests.support.command import lineshaft
    from tests.support.demo import demo_save

    options = ("--catalogue", "quayworks", "--no-cache", "--no-config", "--allow-unread")
    return lineshaft(
        *(command, demo_save(), *options, "--format", "html", "--output", target)
    ).status
