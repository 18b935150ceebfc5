"""A mistake in a file of the user's: where, what, and what was expected."""

from __future__ import annotations

from dataclasses import dataclass


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
