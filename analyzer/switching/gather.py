"""Going through the states of one assembly: all of them, piece by piece, or those close by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, combinations, product
from typing import Final

import numpy as np

from analyzer.switching.bounds import Reach, find_bounds, find_reach
from analyzer.switching.compose import compose
from analyzer.switching.drives import iter_drives
from analyzer.switching.gathered import Gathered
from analyzer.switching.levers import Lever
from analyzer.switching.pieces import explore_piece
from analyzer.switching.split import Split, count_states, split_subject, whole
from analyzer.switching.subject import State, Subject
from analyzer.switching.switching import Bound, Extent

#: Parts of all states together that one assembly may take: some 10 s of solving.
MOST_WORK: Final = 4_000_000
#: Doublings between the slowest and the fastest part up to which every state can be written.
_SAFE_DOUBLINGS: Final = 255


@dataclass(frozen=True)
class Survey:
    """What was gathered about one assembly, and how.

    Parameters
    ----------
    gathered
        What holds in the states that were looked at.
    extent
        Which those were.
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


def survey_states(subject: Subject, most_states: int, *, apart: bool = True) -> Survey:
    """Go through the states of one assembly.

    Parameters
    ----------
    subject
        The assembly.
    most_states
        Most states to solve; the save's own is solved in any case.
    apart
        Whether to take it apart where it falls apart.
    """
    reach = find_reach(subject)
    split = _split(subject, reach) if apart else whole(subject)
    solved, work = _cost(subject, split)
    if solved <= most_states and work <= MOST_WORK:
        return Survey(_gather(subject, split), "all", len(split.pieces), int(solved), None)
    extent, states = _close_by(subject, most_states)
    rows = np.arange(len(subject.parts))
    gathered = compose(iter_drives(subject, rows, states, {}), ())
    return Survey(gathered, extent, 0, len(states), find_bounds(subject, reach))


def every_state(levers: Mapping[int, Lever]) -> Iterator[State]:
    """Yield every state of some levers."""
    keys = sorted(levers)
    for settings in product(*(range(len(levers[key].settings)) for key in keys)):
        yield tuple((key, one) for key, one in zip(keys, settings, strict=True) if one)


def _split(subject: Subject, reach: Reach) -> Split:
    # What is out of range depends on all that is joined, so that no piece could be told alone.
    if max(reach.doublings, default=0.0) > _SAFE_DOUBLINGS:
        return whole(subject)
    return split_subject(subject)


def _cost(subject: Subject, split: Split) -> tuple[float, float]:
    """Return how many states a split has, and how many parts those have together."""
    solved = count_states(subject, split.levers)
    work = solved * len(split.rows)
    for piece in split.pieces:
        states = count_states(subject, piece.levers)
        solved += states
        work += states * len(piece.rows)
    return round(solved) if solved < 2**62 else solved, work


def _gather(subject: Subject, split: Split) -> Gathered:
    rows = np.array(split.rows, np.int64)
    levers = subject.levers
    pieces = [
        explore_piece(subject, piece, list(every_state({key: levers[key] for key in piece.levers})))
        for piece in split.pieces
    ]
    hung: dict[int, list[int]] = {}
    for number, piece in enumerate(split.pieces):
        entry = int(np.searchsorted(rows, piece.entry))
        hung.setdefault(entry, []).append(number)
    trunk = subject.excerpt(rows, split.levers)
    states = list(every_state({key: levers[key] for key in split.levers}))
    return compose(iter_drives(trunk, rows, states, hung), pieces)


def _close_by(subject: Subject, most_states: int) -> tuple[Extent, Sequence[State]]:
    """Return the states within two throws of the save's, or one, or none, as is feasible."""
    ways = np.array([len(lever.settings) - 1 for lever in subject.levers.values()], np.int64)
    one = 1 + int(ways.sum())
    two = one + (int(ways.sum()) ** 2 - int((ways**2).sum())) // 2
    most = min(most_states, MOST_WORK // max(1, len(subject.parts)))
    if one > most:
        return "none", [()]
    singles: list[State] = [
        ((key, setting),)
        for key, lever in sorted(subject.levers.items())
        for setting in range(1, len(lever.settings))
    ]
    if two > most:
        return "singles", [(), *singles]
    doubles = [
        (first, second) for (first,), (second,) in combinations(singles, 2) if first[0] != second[0]
    ]
    return "doubles", list(chain([()], singles, doubles))
