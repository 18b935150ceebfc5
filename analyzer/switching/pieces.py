"""A piece in each of its states: what it asks of the part that it hangs on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Final

import numpy as np

from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.excerpt import Rows
from analyzer.findings.findings import Finding
from analyzer.switching.split import Piece
from analyzer.switching.subject import State, Subject
from analyzer.switching.tiles import Tiles, iter_tiles

_ZERO: Final = Fraction(0)


@dataclass(frozen=True)
class PieceState:
    """What a piece does per turn of the part that it hangs on, in a state in which it can turn.

    Parameters
    ----------
    state
        The state of its levers.
    demand
        Power that its machines ask for, per rpm; None where that is unknown.
    top, at
        Speed of its fastest part per speed, and that part's row in the whole; 0 and -1 where
        nothing is joined.
    share
        The greatest share of its limit at which a part turns, per rpm.
    """

    state: State
    demand: Fraction | None
    top: Fraction
    at: int
    share: Fraction


@dataclass(frozen=True)
class Explored:
    """A piece in all its states.

    Parameters
    ----------
    piece
        The piece.
    turning
        The states in which its couplings agree as far as the part that it hangs on turns them,
        the fewest throws first, then by position.
    loops
        The contradictions in any of its states, each with that state.
    """

    piece: Piece
    turning: tuple[PieceState, ...]
    loops: tuple[tuple[State, Finding], ...]

    @property
    def least(self) -> State:
        """The state of fewest throws in which it can turn."""
        return self.turning[0].state

    @cached_property
    def known(self) -> tuple[tuple[State, Fraction], ...]:
        """The states in which its demand is known, each with that, per rpm."""
        return tuple((one.state, one.demand) for one in self.turning if one.demand is not None)

    @cached_property
    def most(self) -> tuple[State, Fraction]:
        """Of those, the one of the greatest demand; there has to be one."""
        return max(self.known, key=lambda one: one[1])

    @cached_property
    def fastest(self) -> PieceState:
        """The state in which a part of it turns the fastest."""
        return max(self.turning, key=lambda one: one.top)

    @cached_property
    def rising(self) -> tuple[PieceState, ...]:
        """The states in which it comes nearer to a limit than in all with fewer throws."""
        found: list[PieceState] = []
        for one in self.turning:
            if not found or one.share > found[-1].share:
                found.append(one)
        return tuple(found)


def explore_piece(subject: Subject, piece: Piece, states: Sequence[State]) -> Explored:
    """Solve a piece in some states.

    Parameters
    ----------
    subject
        The whole that it belongs to.
    piece
        The piece.
    states
        States of its levers.
    """
    rows = np.array(piece.rows, np.int64)
    own = subject.excerpt(rows, piece.levers)
    entry = int(np.searchsorted(rows, piece.entry))
    turning: list[PieceState] = []
    loops: list[tuple[State, Finding]] = []
    for tiles in iter_tiles(own, states):
        turning += _turning(tiles, rows, entry)
        if len(tiles.networks.disagreeing):
            for finding in tiles.judge(tiles.solve()).items:
                # Where it hangs on a mover that drives it, other things are found here, too.
                if finding.rule != "loop-conflict":
                    continue
                assert finding.network is not None, "only rules about networks are judged"
                copy = int(tiles.networks.anchor[finding.network]) // tiles.size
                loops.append((tiles.states[copy], finding))
    turning.sort(key=lambda one: (len(one.state), one.state))
    return Explored(piece, tuple(turning), tuple(loops))


def _turning(tiles: Tiles, rows: Rows, entry: int) -> list[PieceState]:
    networks, size = tiles.networks, tiles.size
    copies = len(tiles.states)
    entries = np.arange(copies) * size + entry
    zones = networks.zone[entries]
    agrees = np.ones(len(networks.root), bool)
    agrees[networks.zone[tiles.couplings.a[networks.disagreeing]]] = False
    copy = np.repeat(np.arange(copies), size)
    driven = (networks.zone == zones[copy]) & agrees[networks.zone]
    driven[entries] = False
    members = np.flatnonzero(driven)
    keys = unique_rows(
        copy[members],
        networks.potential[members],
        tiles.parts.type[members],
        tiles.parts.column(Field.TORQUE)[members],
    )
    first = np.full(len(keys[0]), -1)
    first[keys[1][::-1]] = members[::-1]
    counts = np.bincount(keys[1], minlength=len(keys[0]))
    found = [
        _Sum(state) if agrees[zone] else None
        for state, zone in zip(tiles.states, zones.tolist(), strict=True)
    ]
    roots = [abs(networks.potentials[number]) for number in networks.potential[entries].tolist()]
    limits = tiles.subject.limits
    machine = [entry.role == "machine" for entry in tiles.parts.catalogues.types]
    for (one, potential, kind, torque), count, row in zip(
        keys[0].tolist(), counts.tolist(), first.tolist(), strict=True
    ):
        total = found[one]
        assert total is not None, "only parts of zones that agree are looked at"
        ratio = abs(networks.potentials[potential]) / roots[one]
        if machine[kind]:
            total.ask(ratio, None if torque < 0 else tiles.parts.numbers[torque] * count)
        total.turn(ratio, int(rows[row % size]), limits[kind])
    return [total.made() for total in found if total is not None]


class _Sum:
    """What is known of one state while its parts are gone through."""

    def __init__(self, state: State) -> None:
        self._state = state
        self._demand: Fraction | None = _ZERO
        self._top, self._at, self._share = _ZERO, -1, _ZERO

    def ask(self, ratio: Fraction, torque: Fraction | None) -> None:
        known = torque is not None and self._demand is not None
        self._demand = self._demand + torque * ratio if known else None  # type: ignore[operator]

    def turn(self, ratio: Fraction, row: int, limit: Fraction | None) -> None:
        if (ratio, -row) > (self._top, -self._at):
            self._top, self._at = ratio, row
        if limit is not None:
            self._share = max(self._share, ratio / limit)

    def made(self) -> PieceState:
        return PieceState(self._state, self._demand, self._top, self._at, self._share)
