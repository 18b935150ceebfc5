"""Where a command keeps what is known of saves: by default in the user's own cache folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analyzer.cli.say import say

if TYPE_CHECKING:
    from analyzer.pipeline.cache import Cache


@contextmanager
def cache_for(folder: Path | None, *, no_cache: bool, quiet: bool) -> Iterator[Cache | None]:
    """Give the cache that a command is to use; what does not work with it is said at the end.

    Parameters
    ----------
    folder
        What was given; None: the folder that the platform has for it.
    no_cache
        Whether to use none.
    quiet
        Whether to say nothing.

    Raises
    ------
    click.UsageError
        Where a folder and none are asked for.
    """
    if no_cache:
        if folder is not None:
            raise click.UsageError("--cache and --no-cache exclude each other.")
        yield None
        return
    notes: list[str] = []
    try:
        yield _cache(folder, notes.append)
    finally:
        for note in () if quiet else notes:
            say(f"lineshaft: {note}")


def _cache(folder: Path | None, note: Callable[[str], None]) -> Cache | None:
    from analyzer.pipeline.cache import Cache

    if folder is not None:
        return Cache(folder, note)
    from platformdirs import user_cache_path

    own = user_cache_path("lineshaft", appauthor=False)
    # Of a user without a home folder it is no path at all.
    return Cache(own, note, by_default=True) if own.is_absolute() else None
