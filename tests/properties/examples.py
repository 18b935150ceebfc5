"""How examples are drawn: by one fixed sequence, and nothing is kept from run to run."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.strategies import SearchStrategy

from tests.support.check import Check, Evidence, Source

Example = TypeVar("Example")


def few(number: int) -> settings:
    """Return settings for a number of examples.

    A slow machine changes nothing: there is no deadline, and examples that take long to draw are
    no failure.
    """
    return settings(
        max_examples=number,
        derandomize=True,
        deadline=None,
        phases=(Phase.explicit, Phase.generate, Phase.shrink),
        suppress_health_check=(HealthCheck.too_slow, HealthCheck.data_too_large),
    )


def drawn(strategy: SearchStrategy[Example], number: int) -> list[Example]:
    """Return the first examples of a strategy, for a test that needs all of them at once."""
    found: list[Example] = []

    @few(number)
    @given(strategy)
    def gather(example: Example) -> None:
        found.append(example)

    gather()
    return found


def holds(subject: str, key: str, what: str, expected: str, number: int) -> Check:
    """Return the check that a property holds of so many examples."""
    source = Source(Evidence.PROPERTY, f"{number} examples drawn with hypothesis")
    return Check(subject, key, what, expected, source)


@contextmanager
def new_folder() -> Iterator[Path]:
    """Give a folder for one example; a folder of pytest's would serve all of a test's."""
    with tempfile.TemporaryDirectory(prefix="lineshaft-property-") as name:
        yield Path(name)
