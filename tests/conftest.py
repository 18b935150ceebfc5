"""What holds for every test."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest

_NUMBERS = count()


@pytest.fixture(scope="session", autouse=True)
def _caches(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("caches")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder / "shared"))
        yield folder


@pytest.fixture(autouse=True)
def _cache_folder_of_its_own(_caches: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep each test, and the processes it starts, out of the user's cache and of other tests'."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(_caches / str(next(_NUMBERS))))
