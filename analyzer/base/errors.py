"""What ends a run: being unable to go on. Damage and faults in a world are no exceptions."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from analyzer.base.mistake import Mistake


class LineshaftError(Exception):
    """Any reason why a run cannot go on; its text is fit to be shown as it is."""


class SaveNotOpenedError(LineshaftError):
    """A save that cannot be opened at all.

    Parameters
    ----------
    path
        What was asked for.
    reason
        Why it cannot be opened, as a clause.
    remedy
        What to do next, as a sentence.
    """

    def __init__(self, path: Path, reason: str, remedy: str) -> None:
        super().__init__(f"{path}: {reason}. {remedy}")
        self.path = path
        self.reason = reason
        self.remedy = remedy


class UsageError(LineshaftError):
    """A request that makes no sense: an unknown dimension, a box with one corner."""


class MistakesError(LineshaftError):
    """A file of the user's that cannot be used, with every mistake found in it."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__("\n".join(map(str, mistakes)))
        self.mistakes = mistakes


class CatalogueError(MistakesError):
    """A catalogue that cannot be used."""


class ConfigError(MistakesError):
    """A configuration that cannot be used."""
