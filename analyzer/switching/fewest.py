"""The fewest throws that make the demands of several pieces together exceed what is to spare."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from analyzer.switching.subject import State

#: The most that so many throws make, by their count; None where no state has so many.
_Most: TypeAlias = list[int | None]


@dataclass(frozen=True)
class Load:
    """A piece's states, each with the power that it then asks for."""

    choices: tuple[tuple[State, Fraction], ...]


class FewestThrows:
    """Pieces of which each is put in one of its states, so that what they ask for adds up.

    The most that the pieces together ask for with so many throws is the best way to share the
    throws out between them: a tree over the pieces holds it for each group of them, so that one
    piece can be held to fewer states without adding up the others again.

    Parameters
    ----------
    loads
        The pieces; each has at least one state.
    spare
        What they have to exceed, in power.
    """

    def __init__(self, loads: Sequence[Load], spare: Fraction) -> None:
        amounts = [amount for load in loads for _, amount in load.choices]
        unit = math.lcm(spare.denominator, *(amount.denominator for amount in amounts))
        self._spare = int(spare * unit)
        self._choices = [
            [(state, int(amount * unit)) for state, amount in load.choices] for load in loads
        ]
        self._width = 1 << max(0, (len(loads) - 1).bit_length())
        self._cap = 0
        self._tree: list[_Most] = []

    def count(self, most: int | None = None) -> int | None:
        """Return the fewest throws that suffice; None where none do, or more than `most`."""
        if sum(max(amount for _, amount in rows) for rows in self._choices) <= self._spare:
            return None
        longest = sum(max(len(state) for state, _ in rows) for rows in self._choices)
        limit = longest if most is None else min(most, longest)
        self._cap = 1
        while True:
            self._cap = min(2 * self._cap, limit)
            self._build()
            for throws, amount in enumerate(self._tree[1]):
                if amount is not None and amount > self._spare:
                    self._cap = throws
                    self._build()
                    return throws
            if self._cap >= limit:
                return None

    def first(self) -> State:
        """Return, of the states with the fewest throws that suffice, the first by position.

        `count` has to have found that there are some.
        """
        total = self._cap
        chosen: list[tuple[int, int]] = []
        for piece, item in sorted(self._items(), key=lambda one: one[1]):
            if len(chosen) == total:
                break
            held = self._choices[piece]
            fewer = [row for row in held if item in row[0]]
            self._choices[piece] = fewer
            if fewer and self._suffices(piece, total):
                chosen.append(item)
            else:
                self._choices[piece] = held
                self._set(piece)
        return tuple(chosen)

    def _items(self) -> Iterator[tuple[int, tuple[int, int]]]:
        for piece, rows in enumerate(self._choices):
            yield from ((piece, item) for item in {item for state, _ in rows for item in state})

    def _suffices(self, piece: int, total: int) -> bool:
        self._set(piece)
        amount = self._tree[1][total]
        return amount is not None and amount > self._spare

    def _build(self) -> None:
        self._tree = [[0] + [None] * self._cap for _ in range(2 * self._width)]
        for piece in range(len(self._choices)):
            self._tree[self._width + piece] = self._leaf(piece)
        for node in reversed(range(1, self._width)):
            self._tree[node] = self._joined(node)

    def _set(self, piece: int) -> None:
        node = self._width + piece
        self._tree[node] = self._leaf(piece)
        while node > 1:
            node //= 2
            self._tree[node] = self._joined(node)

    def _leaf(self, piece: int) -> _Most:
        most: _Most = [None] * (self._cap + 1)
        for state, amount in self._choices[piece]:
            if len(state) <= self._cap:
                known = most[len(state)]
                most[len(state)] = amount if known is None else max(known, amount)
        return most

    def _joined(self, node: int) -> _Most:
        left, right = self._tree[2 * node], self._tree[2 * node + 1]
        most: _Most = [None] * (self._cap + 1)
        for throws, one in enumerate(left):
            if one is None:
                continue
            for more, other in enumerate(right[: self._cap + 1 - throws]):
                if other is not None:
                    known = most[throws + more]
                    total = one + other
                    most[throws + more] = total if known is None else max(known, total)
        return most
