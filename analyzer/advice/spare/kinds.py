"""Pieces that are alike with all behind them, as arrays of kinds and of the states of each."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import count
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.advice.spare.pieces import Piece, Ratios, in_order

Numbers: TypeAlias = npt.NDArray[Any]
Mask: TypeAlias = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class States:
    """What a piece's speed may have been multiplied by, and by how many pairs of gears.

    Parameters
    ----------
    factors, used
        The factor of each state, the first 1, and how many pairs led to it.
    ratios
        The ratio of each option but the first, which is no gears.
    onward
        State after each option, int, shape (options, states); the number of states where there is
        none.
    """

    factors: tuple[Fraction, ...]
    used: tuple[int, ...]
    ratios: tuple[Fraction, ...]
    onward: npt.NDArray[np.int64]


def states_for(ratios: Ratios, steps: int, *, turning: bool) -> States:
    """Return the states that pairs of gears lead to.

    Parameters
    ----------
    ratios
        The pairs of gears.
    steps
        Most pairs one after the other.
    turning
        Whether pairs that only turn the sense round are of use.
    """
    every = sorted({ratio for pairs in ratios.pairs.values() for ratio in pairs})
    every = [ratio for ratio in every if ratio != 1 or turning]
    number: dict[tuple[Fraction, int], int] = {(Fraction(1), 0): 0}
    waiting = [(Fraction(1), 0)]
    for factor, used in waiting:
        for ratio in every if used < steps else ():
            state = (factor * ratio, used + 1)
            if state not in number:
                number[state] = len(number)
                waiting.append(state)
    onward = np.full((1 + len(every), len(number)), len(number), np.int64)
    onward[0] = np.arange(len(number))
    for option, ratio in enumerate(every, 1):
        for (factor, used), row in number.items():
            onward[option, row] = number.get((factor * ratio, used + 1), len(number))
    return States(
        factors=tuple(factor for factor, _ in number),
        used=tuple(used for _, used in number),
        ratios=tuple(every),
        onward=onward,
    )


@dataclass(frozen=True, eq=False)
class Edge:
    """Pieces of one kind that lie behind a piece of another.

    Parameters
    ----------
    number
        Its place among all edges.
    ahead, behind
        The two kinds.
    count
        How many lie behind each piece of the kind ahead.
    onward
        State of the kind behind after each option, by the state of the kind ahead, int, shape
        (options, states); the number of states where the option cannot be taken.
    """

    number: int
    ahead: int
    behind: int
    count: int
    onward: npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Kinds:
    """The kinds of a drive's pieces, each after all that lie behind it; the last is the trunk's.

    Parameters
    ----------
    states
        The states that some piece may be in.
    edges
        By the kind ahead.
    pieces
        One piece of each kind.
    of_piece
        Kind of each piece, by `id`.
    fits
        States that a piece of each kind may be in, bool, shape (kinds, states): its bounds hold,
        and those of all behind it can be met.
    """

    states: States
    edges: tuple[tuple[Edge, ...], ...]
    pieces: tuple[Piece, ...]
    of_piece: dict[int, int]
    fits: Mask

    @property
    def trunk(self) -> int:
        """The kind of the trunk."""
        return len(self.pieces) - 1


def kinds_of(trunk: Piece, states: States, ratios: Ratios) -> Kinds:
    """Return the kinds of the pieces of a drive.

    Parameters
    ----------
    trunk
        The drive.
    states
        What gears make of speeds.
    ratios
        Which gears fit where.
    """
    numbers: dict[object, int] = {}
    of_piece: dict[int, int] = {}
    pieces: list[Piece] = []
    behind: list[list[tuple[int, int]]] = []
    for piece in reversed(in_order(trunk)):
        counts = sorted(Counter(of_piece[id(child)] for child in piece.behind).items())
        key = (_own(piece), tuple(counts))
        kind = numbers.setdefault(key, len(numbers))
        of_piece[id(piece)] = kind
        if kind == len(pieces):
            pieces.append(piece)
            behind.append(counts)
    gearing = _Gearing(states, ratios)
    onward = [gearing.onward(piece) for piece in pieces]
    numbered = count()
    edges = tuple(
        tuple(Edge(next(numbered), ahead, kind, many, onward[kind]) for kind, many in counts)
        for ahead, counts in enumerate(behind)
    )
    own = np.array([gearing.within(piece) for piece in pieces], bool)
    fits = _feasible(own, edges)
    kept = np.flatnonzero(fits.any(axis=0))
    return Kinds(*_pruned(states, edges, kept), tuple(pieces), of_piece, fits[:, kept])


def narrowed(kinds: Kinds, own: Mask) -> Mask:
    """Return the states in which all bounds are met, where each kind keeps to some of its own."""
    return _feasible(kinds.fits & own, kinds.edges)


def _pruned(
    states: States, edges: tuple[tuple[Edge, ...], ...], kept: npt.NDArray[np.int64]
) -> tuple[States, tuple[tuple[Edge, ...], ...]]:
    """Return states and edges with some of the states alone."""
    number = np.full(len(states.factors) + 1, len(kept), np.int64)
    number[kept] = np.arange(len(kept))
    tables: dict[int, npt.NDArray[np.int64]] = {}
    for edge in (edge for behind in edges for edge in behind):
        if id(edge.onward) not in tables:
            tables[id(edge.onward)] = number[edge.onward[:, kept]]
    fewer = States(
        factors=tuple(states.factors[row] for row in kept.tolist()),
        used=tuple(states.used[row] for row in kept.tolist()),
        ratios=states.ratios,
        onward=number[states.onward[:, kept]],
    )
    return fewer, tuple(
        tuple(replace(edge, onward=tables[id(edge.onward)]) for edge in behind) for behind in edges
    )


def _own(piece: Piece) -> object:
    return (
        piece.fits,
        piece.worth,
        piece.demand,
        piece.upper,
        piece.lower,
        piece.share,
        piece.keeps_sense,
        piece.ahead_rpm,
        piece.behind_rpm,
    )


class _Gearing:
    """What bounds leave of the states, and limits of the options."""

    def __init__(self, states: States, ratios: Ratios) -> None:
        self._states, self._ratios = states, ratios
        self._ascending = sorted(set(states.factors))
        row = {factor: number for number, factor in enumerate(self._ascending)}
        self._rank = np.array([row[factor] for factor in states.factors])
        self._even = np.array(states.used) % 2 == 0
        self._of_class: dict[str | None, npt.NDArray[np.int64]] = {}

    def within(self, piece: Piece) -> Mask:
        low, high = 0, len(self._ascending)
        if piece.lower is not None:
            low = bisect_left(self._ascending, piece.lower)
        if piece.upper is not None:
            high = bisect_right(self._ascending, piece.upper)
        mask: Mask = (self._rank >= low) & (self._rank < high)
        return mask & self._even if piece.keeps_sense else mask

    def onward(self, piece: Piece) -> npt.NDArray[np.int64]:
        if piece.fits not in self._of_class:
            pairs = self._ratios.pairs.get(piece.fits or "", {})
            there = [True, *(ratio in pairs for ratio in self._states.ratios)]
            none = len(self._states.factors)
            table = np.where(np.array(there)[:, None], self._states.onward, none)
            self._of_class[piece.fits] = table
        table = self._of_class[piece.fits]
        return table if not piece.behind_rpm else self._borne(piece, table)

    def _borne(self, piece: Piece, table: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
        """Leave out gears that would turn faster than they may."""
        table = table.copy()
        for option, ratio in enumerate(self._states.ratios, 1):
            if ratio in self._ratios.pairs.get(piece.fits or "", {}):
                limit = self._ratios.limit(piece.fits or "", ratio)
                fastest = max(piece.ahead_rpm, piece.behind_rpm * ratio)
                over = [
                    limit is not None and factor * fastest > limit
                    for factor in self._states.factors
                ]
                table[option, over] = len(over)
        return table


def _feasible(own: Mask, edges: tuple[tuple[Edge, ...], ...]) -> Mask:
    """Return the states that can be reached and in which all behind can be met."""
    none = np.zeros((len(own), 1), bool)
    fits = np.concatenate([own, none], axis=1)
    for ahead, behind in enumerate(edges):
        for edge in behind:
            fits[ahead, :-1] &= fits[edge.behind][edge.onward].any(axis=0)
    reached = np.zeros_like(fits)
    reached[-1, 0] = fits[-1, 0]
    for ahead in range(len(edges) - 1, -1, -1):
        here = np.flatnonzero(reached[ahead])
        for edge in edges[ahead]:
            reached[edge.behind, edge.onward[:, here]] = True
            reached[edge.behind] &= fits[edge.behind]
    found: Mask = reached[:, :-1]
    return found
