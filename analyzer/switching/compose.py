"""What a trunk and its pieces make of each other in all of their states, without going through all.

A piece sees of the trunk how fast one part turns; the trunk sees of a piece what it asks for and
whether it can turn at all. So in each state of the trunk the worst demands of the pieces add up,
and the worst speed is that of one of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from analyzer.findings.findings import Finding
from analyzer.switching.drives import Drive, Resting
from analyzer.switching.fewest import FewestThrows
from analyzer.switching.gathered import WHOLE, Gathered, Key, Peak, joined, key_of, least
from analyzer.switching.pieces import Explored
from analyzer.switching.subject import State


def compose(drives: Iterable[Drive | Resting], pieces: Sequence[Explored]) -> Gathered:
    """Gather what holds in any state.

    Parameters
    ----------
    drives
        The trunk in each of its states.
    pieces
        The pieces in each of theirs; without any the trunk is all there is.
    """
    made = Gathered()
    for piece in pieces:
        for state, finding in piece.loops:
            made.add(key_of(finding), state, _length(finding))
    for drive in drives:
        if isinstance(drive, Resting):
            _rest(made, drive)
        else:
            _Composed(made, drive, pieces).gather()
    return made


def _rest(made: Gathered, resting: Resting) -> None:
    # Nothing drives it, so that only its couplings can contradict each other.
    made.add(key_of(resting.finding), resting.state, _length(resting.finding))


def _length(finding: Finding) -> int:
    return 0 if finding.witness is None else len(finding.witness.parts)


class _Composed:
    """One drive of the trunk with the pieces that hang on it."""

    def __init__(self, made: Gathered, drive: Drive, pieces: Sequence[Explored]) -> None:
        self._made, self._drive = made, drive
        self._hung = [(pieces[number], zone, rpm) for number, zone, rpm in drive.pieces]

    def gather(self) -> None:
        for finding, zone in self._drive.findings:
            if finding.rule == "loop-conflict":
                self._made.add(key_of(finding), self._drive.state, _length(finding))
            elif finding.rule not in WHOLE:
                state = self._freed(zone)
                if state is not None:
                    self._made.add(key_of(finding), state, _length(finding))
        least_state = self._freed(-1)
        if least_state is None:
            # Something that hangs on it locks it in every state.
            return
        rules = {finding.rule for finding, _ in self._drive.findings}
        if "out-of-range" in rules:
            self._add("out-of-range", least_state)
        if self._drive.turns:
            self._too_fast(least_state, known="over-speed" in rules)
            self._too_much()
            self._greatest_demand()
            self._greatest_speed(least_state)

    def _keys(self, rule: str) -> list[Key]:
        return [(rule, "", network) for network in self._drive.saved]

    def _add(self, rule: str, state: State) -> None:
        for key in self._keys(rule):
            self._made.add(key, state)

    def _freed(self, zone: int) -> State | None:
        """Return the least state in which no piece locks a zone, or any of the drive's (-1)."""
        states = [self._drive.state]
        for piece, at, _ in self._hung:
            if zone in (-1, at):
                if not piece.turning:
                    return None
                states.append(piece.least)
        return joined(*states)

    def _with(self, number: int, state: State) -> State:
        """Return the least state of the drive in which one piece is in a given state."""
        others = (piece.least for place, (piece, _, _) in enumerate(self._hung) if place != number)
        return joined(self._drive.state, state, *others)

    def _too_fast(self, least_state: State, *, known: bool) -> None:
        if known:
            self._add("over-speed", least_state)
            return
        found = [
            self._with(number, first)
            for number, (piece, _, rpm) in enumerate(self._hung)
            for first in [next((one.state for one in piece.rising if one.share * rpm > 1), None)]
            if first is not None
        ]
        if found:
            self._add("over-speed", min(found, key=least))

    def _too_much(self) -> None:
        if self._drive.demand is None or not all(piece.known for piece, _, _ in self._hung):
            return
        spare = self._drive.capacity - self._drive.demand
        if self._added() <= spare:
            return
        known = self._made.throws(self._keys("overload"))
        most = None if known is None else known - len(self._drive.state)
        if most is not None and most < 0:
            return
        search = FewestThrows(
            [[(state, asks * rpm) for state, asks in piece.known] for piece, _, rpm in self._hung],
            spare,
        )
        if search.count(most) is not None:
            self._add("overload", joined(self._drive.state, search.first()))

    def _added(self) -> Fraction:
        """Return the most that all pieces together ask for."""
        return sum((piece.most[1] * rpm for piece, _, rpm in self._hung), Fraction(0))

    def _greatest_demand(self) -> None:
        if self._drive.demand is None or not all(piece.known for piece, _, _ in self._hung):
            return
        total = self._drive.demand + self._added()
        known = self._made.demand
        if known is None or total >= known.amount:
            # A piece that rests asks for nothing however it is set.
            states = [piece.most[0] if rpm else piece.known[0][0] for piece, _, rpm in self._hung]
            state = joined(self._drive.state, *states)
            self._made.ask(Peak(total, self._drive.capacity, self._drive.anchor, state))

    def _greatest_speed(self, least_state: State) -> None:
        if self._drive.top is not None:
            self._made.turn(Peak(self._drive.top, None, self._drive.at, least_state))
        for number, (piece, _, rpm) in enumerate(self._hung):
            speed = piece.fastest.top * rpm
            known = self._made.speed
            if speed and (known is None or speed >= known.amount):
                state = self._with(number, piece.fastest.state)
                self._made.turn(Peak(speed, None, piece.fastest.at, state))
