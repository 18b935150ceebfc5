"""The drive as pieces that change speed together, with what each is worth and asks for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from analyzer.advice.remedies.drive_tree import Branch, branches_of, bridge_tree, speed_limits
from analyzer.advice.remedies.gears import gear_pairs
from analyzer.advice.spare.spare import Spending
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.engage import Engaged
from analyzer.findings.audit import Audit


@dataclass(eq=False)
class Piece:
    """Parts that change speed together, and the coupling that leads to them.

    Parameters
    ----------
    coupling
        The coupling and its part behind; None for the trunk.
    fits
        Class of the gears that fit it; None where none do.
    worth, demand
        Weighted speed and power of the machines as they turn.
    upper, lower
        Bounds of the factor by which speeds may change; None where nothing bounds it.
    share
        The least share that a machine here has of what it could use; None without machines.
    keeps_sense
        Whether its sense of turning has to stay: by an even number of pairs of gears before it.
    ahead_rpm, behind_rpm
        Speeds of the two parts of the coupling, where gears have limits of their own; else 0.
    behind
        The pieces behind it.
    """

    coupling: tuple[int, int] | None = None
    fits: str | None = None
    worth: Fraction = Fraction(0)
    demand: Fraction = Fraction(0)
    upper: Fraction | None = None
    lower: Fraction | None = None
    share: Fraction | None = None
    keeps_sense: bool = False
    ahead_rpm: Fraction = Fraction(0)
    behind_rpm: Fraction = Fraction(0)
    behind: list[Piece] = field(default_factory=list)

    @property
    def is_idle(self) -> bool:
        """Whether nothing here is worth anything, asks for power or has a least speed."""
        return not (self.worth or self.demand or self.keeps_sense) and self.lower is None


@dataclass(frozen=True)
class Ratios:
    """Pairs of gears by class: the names of two gears for each ratio, and the limits of the two."""

    pairs: Mapping[str, Mapping[Fraction, tuple[str, str]]]
    limits: Mapping[str, Fraction | None]

    def limit(self, fits: str, ratio: Fraction) -> Fraction | None:
        """Return the speed that the gears of a pair may turn at, in rpm."""
        found = [self.limits[name] for name in self.pairs[fits][ratio]]
        return min((one for one in found if one is not None), default=None)


def ratios_of(audit: Audit) -> Ratios:
    """Return the pairs of gears that fit the parts of an audit."""
    types = audit.parts.catalogues.types
    classes = sorted({types[kind].fits for kind in set(audit.parts.type.tolist())})
    limits = dict(zip((kind.block for kind in types), speed_limits(audit), strict=True))
    return Ratios({fits: gear_pairs(audit.parts.catalogues, fits) for fits in classes}, limits)


def pieces_of(audit: Audit, engaged: Engaged, ratios: Ratios, spending: Spending) -> Piece:
    """Return the trunk of a network that turns, with all pieces behind it.

    Parameters
    ----------
    audit
        An audit of one network, with known speeds.
    engaged
        Which of its couplings are engaged.
    ratios
        The pairs of gears that can be put.
    spending
        What is worth how much, and whether machines may turn slower.
    """
    filler = _Filler(audit, engaged, ratios, spending)
    trunk = bridge_tree(audit, engaged)
    made = {id(branch): filler.piece(branch) for branch in branches_of(trunk)}
    for branch in branches_of(trunk):
        made[id(branch)].behind = [made[id(child)] for child in branch.behind]
    return made[id(trunk)]


def in_order(trunk: Piece) -> list[Piece]:
    """Return the pieces, each after the one it lies behind."""
    order = [trunk]
    for one in order:
        order += one.behind
    return order


class _Filler:
    """What the parts of a branch come to."""

    def __init__(self, audit: Audit, engaged: Engaged, ratios: Ratios, spending: Spending) -> None:
        self._audit, self._ratios, self._slower = audit, ratios, spending.slower
        self._limits = speed_limits(audit)
        self._weights = dict(spending.weights)
        governed, types = audit.couplings.governed, audit.parts.catalogues.types
        driving = governed.part[engaged.governed & governed.drives]
        self._followed = {
            part
            for part in np.unique(driving).tolist()
            if (rule := types[int(audit.parts.type[part])].governor) is not None and rule.follows
        }
        own = {name for pairs in ratios.pairs.values() for two in pairs.values() for name in two}
        there = [self._limits[kind] for kind in set(audit.parts.type.tolist())]
        gears = [ratios.limits[name] for name in own if ratios.limits[name] is not None]
        highest = None if None in there else max((one for one in there if one), default=None)
        #: Gears may turn as fast as whatever they stand between, so that they need no look.
        self._gears_bear_all = highest is not None and all(
            one is None or one >= highest for one in gears
        )
        self._gears_bear_all |= not gears
        self._reach = {
            fits: max(pairs, default=Fraction(1)) ** spending.steps
            for fits, pairs in ratios.pairs.items()
        }

    def piece(self, branch: Branch) -> Piece:
        piece = Piece()
        if branch.couplings:
            ((coupling, part),) = branch.couplings
            piece.coupling = (coupling, part)
            piece.fits = branch.fits if self._ratios.pairs.get(branch.fits or "") else None
            if not self._gears_bear_all:
                table = self._audit.couplings
                ahead = int(table.a[coupling]) + int(table.b[coupling]) - part
                piece.ahead_rpm, piece.behind_rpm = self._rpm(ahead), self._rpm(part)
        for part in branch.parts:
            rpm = self._rpm(part)
            if rpm:
                self._fill(piece, part, rpm)
        piece.keeps_sense = not self._followed.isdisjoint(branch.parts)
        return piece

    def _rpm(self, part: int) -> Fraction:
        return abs(self._audit.solution.speed_rpm(part) or Fraction(0))

    def _fill(self, piece: Piece, part: int, rpm: Fraction) -> None:
        parts = self._audit.parts
        kind = int(parts.type[part])
        type_, limit = parts.catalogues.types[kind], self._limits[kind]
        if limit is not None:
            # What turns too fast as it is turns no faster.
            upper = max(limit / rpm, Fraction(1))
            piece.upper = upper if piece.upper is None else min(piece.upper, upper)
        if type_.role != "machine":
            return
        piece.worth += rpm * self._weights.get(type_.block, 1)
        piece.demand += rpm * (parts.number(part, Field.TORQUE) or Fraction(0))
        least = parts.number(part, Field.LEAST_RPM)
        lower: Fraction | None = Fraction(1)
        if self._slower:
            lower = min(least / rpm, Fraction(1)) if least else None
        if lower is not None:
            piece.lower = lower if piece.lower is None else max(piece.lower, lower)
        share = rpm / limit if limit else 1 / self._reach[type_.fits]
        piece.share = share if piece.share is None else min(piece.share, share)


def shortened(trunk: Piece, most: Fraction, steps: int) -> Piece:
    """Return a drive without what does not matter to where gears are put.

    Bounds that nothing reaches are dropped, and ends that mind nothing. In a row of pieces that
    only carry the turning on, gears that slow down may stand first and those that speed up last:
    the couplings between need none.

    Parameters
    ----------
    trunk
        The drive; it is changed.
    most
        The greatest factor that gears can give.
    steps
        Most pairs of gears on the way to any part.
    """
    for one in reversed(in_order(trunk)):
        if one.upper is not None and one.upper >= most:
            one.upper = None
        one.behind = [
            child
            for child in one.behind
            if child.behind or not child.is_idle or child.upper is not None
        ]
    closed = _closed(trunk, steps)
    waiting = [trunk]
    for one in waiting:
        while len(one.behind) == 1 and id(one.behind[0]) in closed:
            (child,) = one.behind
            uppers = [upper for upper in (one.upper, child.upper) if upper is not None]
            one.upper, one.behind = min(uppers, default=None), child.behind
        waiting += one.behind
    for one in in_order(trunk):
        one.behind = [_without(child, closed) for child in one.behind]
    return trunk


def _without(piece: Piece, closed: set[int]) -> Piece:
    """Return the first piece from one on, along its row, before which gears may stand."""
    while id(piece) in closed:
        (piece,) = piece.behind
    return piece


def _closed(trunk: Piece, steps: int) -> set[int]:
    """Return the pieces in rows before which no gears are needed.

    Where nothing bounds the pieces from the row's first on, gears may as well stand later; else as
    many couplings are left at its beginning, and at its end, as pairs may be put.
    """
    #: Pieces of rows; how many from the first that is bounded on; the piece ahead in the row.
    number: dict[int, int] = {}
    follows: set[int] = set()
    order = in_order(trunk)
    for one in order:
        for child in one.behind:
            if not child.is_idle or len(child.behind) != 1 or child.behind_rpm:
                continue
            before = 0
            if id(one) in number and child.fits == one.fits:
                before = number[id(one)]
                follows.add(id(child))
            number[id(child)] = 0 if not before and child.upper is None else before + 1
    left: dict[int, int] = {}
    for one in reversed(order):
        (*_, last) = one.behind or [one]
        left[id(one)] = left[id(last)] + 1 if id(last) in follows else 0
    return {
        key for key, place in number.items() if left[key] >= steps and (place == 0 or place > steps)
    }
