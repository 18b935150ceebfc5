"""The numbers of one block: what its entry, its properties and its data say together."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from tests.judge.placed import Placement
from tests.judge.poses import NotUnderstoodError
from tests.judge.stored import follow, meaning, steps_of

Number = Fraction | int


def plainest(number: Fraction) -> Number:
    """Return a whole number as an integer, with which one reckons faster."""
    return number.numerator if number.denominator == 1 else number


def anything(number: Fraction) -> bool:
    return True


def nonzero(number: Fraction) -> bool:
    return number != 0


def positive(number: Fraction) -> bool:
    return number > 0


def not_negative(number: Fraction) -> bool:
    return number >= 0


class Numbers:
    """Reads the numbers of one block, and notes which of them cannot be used."""

    def __init__(self, placement: Placement) -> None:
        self.placement = placement
        self.unusable: list[str] = []

    def read(
        self, name: str, given: Any, fit: Callable[[Fraction], bool] = anything
    ) -> Number | None:
        """Return a number of the entry; None where the entry has none or it cannot be used.

        `fit` says of a stored number whether it may be such a one.

        Raises
        ------
        NotUnderstoodError
            Where it depends on a property that is absent or has an unknown value.
        """
        if given is None:
            return None
        if not isinstance(given, dict):
            return plainest(Fraction(given))
        if "property" in given:
            value = self.placement.properties.get(given["property"])
            if value not in given["values"]:
                raise NotUnderstoodError(given["property"])
            return plainest(Fraction(given["values"][value]))
        number = self._stored(given, fit)
        if number is None:
            self.unusable.append(name)
            return None
        return plainest(number)

    def _stored(self, given: dict[str, Any], fit: Callable[[Fraction], bool]) -> Fraction | None:
        found = follow(self.placement.data or {}, steps_of(given["stored"]))
        if found is None:
            return Fraction(given["default"]) if "default" in given else None
        value = meaning(found)
        if value is None:
            return None
        value *= Fraction(given.get("scale", 1))
        return value if abs(value) <= 10**9 and fit(value) else None
