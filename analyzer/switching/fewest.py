"""The fewest throws that make the demands of several pieces together exceed what is to spare."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final, TypeAlias

from analyzer.switching.subject import State

#: The most that so many throws make, by their count; None where no state has so many.
_Most: TypeAlias = list[int | None]

#: Sums up to which the first of equally few throws is sought by position.
_MOST_SUMS: Final = 20_000_000


class FewestThrows:
    """Pieces of which each is put in one of its states, so that what they ask for adds up.

    The most that the pieces together ask for with so many throws is the best way to share the
    throws out between them: a tree over the pieces holds it for each group of them, so that one
    piece can be held to fewer states without adding up the others again.

    Parameters
    ----------
    loads
        For each piece its states, at least one, each with the power that it then asks for.
    spare
        What they have to exceed, in power.
    """

    def __init__(self, loads: Sequence[Sequence[tuple[State, Fraction]]], spare: Fraction) -> None:
        amounts = [amount for rows in loads for _, amount in rows]
        unit = math.lcm(spare.denominator, *(amount.denominator for amount in amounts))
        self._spare = int(spare * unit)
        self._choices = [[(state, int(amount * unit)) for state, amount in rows] for rows in loads]
        self._width = 1 << max(0, (len(loads) - 1).bit_length())
        self._cap = 0
        self._tree: list[_Most] = []

    def count(self, most: int | None = None) -> int | None:
        """Return the fewest throws that suffice; None where none do, or more than `most`."""
        longest = sum(max(len(state) for state, _ in rows) for rows in self._choices)
        limit = longest if most is None else min(most, longest)
        begin = self._at_least()
        if begin is None or begin > limit:
            return None
        self._cap = begin
        while True:
            self._build()
            for throws, amount in enumerate(self._tree[1]):
                if amount is not None and amount > self._spare:
                    self._cap = throws
                    self._build()
                    return throws
            if self._cap >= limit:
                return None
            self._cap = min(2 * self._cap + 1, limit)

    def first(self) -> State:
        """Return a state with the fewest throws that suffice: of those the first by position.

        Where very many pieces have to add up, it is instead the one that asks for the most. `count`
        has to have found that there are some.
        """
        items = sorted(self._items(), key=lambda one: one[1])
        if len(items) * (self._cap + 1) ** 2 > _MOST_SUMS:
            amount = self._tree[1][self._cap]
            assert amount is not None, "there is such a state"
            return tuple(sorted(self._iter_chosen(1, self._cap, amount)))
        chosen: list[tuple[int, int]] = []
        for piece, item in items:
            if len(chosen) == self._cap:
                break
            held = self._choices[piece]
            fewer = [row for row in held if item in row[0]]
            self._choices[piece] = fewer
            if fewer and self._suffices(piece):
                chosen.append(item)
            else:
                self._choices[piece] = held
                self._set(piece)
        return tuple(chosen)

    def _at_least(self) -> int | None:
        """Return a number of throws below which nothing suffices; None where nothing does.

        No throws of a piece add more, each, than its best share for each throw.
        """
        missing = self._spare
        gains: list[tuple[Fraction, int]] = []
        for rows in self._choices:
            now = max((amount for state, amount in rows if not state), default=0)
            missing -= now
            shares = [Fraction(amount - now, len(state)) for state, amount in rows if state]
            if max(shares, default=Fraction(0)) > 0:
                gains.append((max(shares), max(len(state) for state, _ in rows)))
        throws = 0
        left = Fraction(missing)
        for share, most in sorted(gains, reverse=True):
            if left < 0:
                break
            # As many as exceed what is missing.
            needed = min(most, math.floor(left / share) + 1)
            throws += needed
            left -= needed * share
        return throws if left < 0 else None

    def _items(self) -> Iterator[tuple[int, tuple[int, int]]]:
        for piece, rows in enumerate(self._choices):
            yield from ((piece, item) for item in {item for state, _ in rows for item in state})

    def _suffices(self, piece: int) -> bool:
        self._set(piece)
        top = self._tree[1]
        amount = top[self._cap] if len(top) > self._cap else None
        return amount is not None and amount > self._spare

    def _build(self) -> None:
        self._tree = [[0] for _ in range(2 * self._width)]
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
        rows = [row for row in self._choices[piece] if len(row[0]) <= self._cap]
        most: _Most = [None] * (max((len(state) for state, _ in rows), default=0) + 1)
        for state, amount in rows:
            known = most[len(state)]
            most[len(state)] = amount if known is None else max(known, amount)
        return most

    def _joined(self, node: int) -> _Most:
        left, right = self._tree[2 * node], self._tree[2 * node + 1]
        most: _Most = [None] * min(self._cap + 1, len(left) + len(right) - 1)
        for throws, one in enumerate(left):
            if one is None:
                continue
            for more, other in enumerate(right[: len(most) - throws], throws):
                if other is not None:
                    known = most[more]
                    total = one + other
                    most[more] = total if known is None else max(known, total)
        return most

    def _iter_chosen(self, node: int, throws: int, amount: int) -> Iterator[tuple[int, int]]:
        """Yield what is thrown in the pieces below a node to come to an amount."""
        if node >= self._width:
            if node - self._width < len(self._choices):
                rows = self._choices[node - self._width]
                yield from next(
                    state for state, asks in rows if len(state) == throws and asks == amount
                )
            return
        left, right = self._tree[2 * node], self._tree[2 * node + 1]
        for here, one in enumerate(left[: throws + 1]):
            other = right[throws - here] if throws - here < len(right) else None
            if one is not None and other is not None and one + other == amount:
                yield from self._iter_chosen(2 * node, here, one)
                yield from self._iter_chosen(2 * node + 1, throws - here, other)
                return
