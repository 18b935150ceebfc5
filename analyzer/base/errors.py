"""What ends a run: being unable to go on. Damage and faults in a world are no exceptions."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


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


@dataclass(frozen=True, order=True)
class Mistake:
    """One mistake in a catalogue or a configuration.

    Parameters
    ----------
    file
        The file's path as it was given, or its name.
    line
        Line in the file, from 1; 0 where the mistake has no line.
    key
        Path of the key, such as ``parts."quayworks:shaft".ends.front``.
    found
        What is wrong, as a sentence.
    expected
        What was expected there, as a clause.
    """

    file: str
    line: int
    key: str
    found: str
    expected: str

    def __str__(self) -> str:
        """Write the mistake on one line: where, what, what was expected."""
        where = f"{self.file}:{self.line}" if self.line else self.file
        key = f" {self.key}:" if self.key else ""
        return f"{where}:{key} {self.found}; expected {self.expected}"


class MistakesError(LineshaftError):
    """A file of the user's that cannot be used, with every mistake found in it."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__("\n".join(map(str, mistakes)))
        self.mistakes = mistakes


class CatalogueError(MistakesError):
    """A catalogue that cannot be used."""


class ConfigError(MistakesError):
    """A configuration that cannot be used."""
