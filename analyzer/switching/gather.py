"""Going through the states of one assembly: all of them, piece by piece, or those close by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Final, TypeAlias

import numpy as np

from analyzer.switching.bounds import Reach, find_bounds, find_reach
from analyzer.switching.compose import compose
from analyzer.switching.drives import iter_drives
from analyzer.switching.gathered import Gathered, least
from analyzer.switching.levers import Lever
from analyzer.switching.pieces import explore_piece
from analyzer.switching.split import Split, count_states, split_subject, whole
from analyzer.switching.subject import State, Subject
from analyzer.switching.switching import Bound, Extent

#: Parts of all states together that one assembly may take: some 10 to 30 s of solving.
MOST_WORK: Final = 4_000_000
#: Doublings between the slowest and the fastest part up to which every state can be written.
_SAFE_DOUBLINGS: Final = 255
#: States of a trunk or piece that are all looked at even where those of others are not.
_FEW_STATES: Final = 64

_Levers: TypeAlias = Mapping[int, Lever]


@dataclass(frozen=True)
class Scope:
    """Which states of a trunk or piece are looked at.

    Parameters
    ----------
    extent
        What that comes to for the assembly.
    throws
        Those with at most so many throws; None: all.
    few
        All of one that has no more than so many, even so.
    """

    extent: Extent
    throws: int | None = None
    few: int = 0


#: What is tried, the most first.
SCOPES: Final = (
    Scope("all"),
    Scope("doubles", 2, _FEW_STATES),
    Scope("doubles", 2),
    Scope("singles", 1, _FEW_STATES),
    Scope("singles", 1),
)


@dataclass(frozen=True)
class Survey:
    """What was gathered about one assembly, and how.

    Parameters
    ----------
    gathered
        What holds in the states that were looked at.
    extent
        Which those were, at least.
    pieces, solved
        How many pieces were solved by themselves, and how many states were solved in all.
    bound
        What holds in all states; None where all were looked at.
    """

    gathered: Gathered
    extent: Extent
    pieces: int
    solved: int
    bound: Bound | None


def survey_states(
    subject: Subject,
    most_states: int,
    *,
    apart: bool = True,
    scopes: Sequence[Scope] = SCOPES,
) -> Survey:
    """Go through the states of one assembly.

    Parameters
    ----------
    subject
        The assembly.
    most_states
        Most states to solve; the save's own is solved in any case.
    apart
        Whether to take it apart where it falls apart.
    scopes
        What to try, the most first; where none is feasible the save's state alone is solved.

    Notes
    -----
    Where not all states are feasible, those with at most so many throws in the trunk and in each
    piece are: all with at most so many throws are among them.
    """
    reach = find_reach(subject)
    split = _split(subject, reach) if apart else whole(subject)
    for scope in scopes:
        solved, work = _cost(subject, split, scope)
        if solved <= most_states and work <= MOST_WORK:
            return Survey(
                gathered=_gather(subject, split, scope),
                extent=scope.extent,
                pieces=len(split.pieces),
                solved=int(solved),
                bound=None if scope.extent == "all" else find_bounds(subject, reach),
            )
    gathered = _gather(subject, whole(subject), Scope("none", 0))
    return Survey(gathered, "none", 0, 1, find_bounds(subject, reach))


def _split(subject: Subject, reach: Reach) -> Split:
    # What is out of range depends on all that is joined, so that no piece could be told alone.
    if max(reach.doublings, default=0.0) > _SAFE_DOUBLINGS:
        return whole(subject)
    return split_subject(subject)


def _cost(subject: Subject, split: Split, scope: Scope) -> tuple[float, float]:
    """Return how many states there are to solve, and how many parts those have together."""
    solved = work = 0.0
    for levers, rows in [
        (split.levers, split.rows),
        *((piece.levers, piece.rows) for piece in split.pieces),
    ]:
        states = _count({key: subject.levers[key] for key in levers}, scope)
        solved += states
        work += states * len(rows)
    return solved, work


def _count(levers: _Levers, scope: Scope) -> float:
    every = count_states(levers.values())
    if scope.throws is None or every <= scope.few:
        return every
    ways = [len(lever.settings) - 1 for lever in levers.values()]
    one, two = sum(ways), (sum(ways) ** 2 - sum(way**2 for way in ways)) // 2
    return float((1, 1 + one, 1 + one + two)[scope.throws])


def _states(levers: _Levers, scope: Scope) -> list[State]:
    """Return the states to look at, the fewest throws first, then those first by position."""
    if scope.throws is None or count_states(levers.values()) <= scope.few:
        return sorted(_every_state(levers), key=least)
    items = [
        (key, setting)
        for key, lever in sorted(levers.items())
        for setting in range(1, len(lever.settings) if scope.throws else 1)
    ]
    singles: list[State] = [(item,) for item in items]
    doubles = [
        (first, second)
        for first, second in combinations(items if scope.throws == 2 else [], 2)
        if first[0] != second[0]
    ]
    return [(), *singles, *doubles]


def _every_state(levers: _Levers) -> Iterator[State]:
    keys = sorted(levers)
    for settings in product(*(range(len(levers[key].settings)) for key in keys)):
        yield tuple((key, one) for key, one in zip(keys, settings, strict=True) if one)


def _gather(subject: Subject, split: Split, scope: Scope) -> Gathered:
    rows = np.array(split.rows, np.int64)

    def states(levers: tuple[int, ...]) -> list[State]:
        return _states({key: subject.levers[key] for key in levers}, scope)

    pieces = [explore_piece(subject, piece, states(piece.levers)) for piece in split.pieces]
    hung: dict[int, list[int]] = {}
    for number, piece in enumerate(split.pieces):
        entry = int(np.searchsorted(rows, piece.entry))
        hung.setdefault(entry, []).append(number)
    trunk = subject.excerpt(rows, split.levers)
    return compose(iter_drives(trunk, rows, states(split.levers), hung), pieces)
