"""What is known of a trunk in each of its states: its drives, and what is wrong with it itself."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.couplings.excerpt import Rows
from analyzer.findings.findings import Finding
from analyzer.solution.solution import Solution
from analyzer.solution.solution import State as NetworkState
from analyzer.switching.subject import State, Subject
from analyzer.switching.tiles import Tiles, iter_tiles


@dataclass(frozen=True)
class Drive:
    """One network with an active mover, in one state of the trunk.

    Parameters
    ----------
    state
        The state.
    saved
        Networks of its active movers as the save is, by number, ascending.
    turns
        Whether it turns, or would but for its demand.
    capacity, demand
        In power; demand None where it is unknown.
    top, at
        The magnitude of its greatest speed in rpm and the row of that part; None and -1 where
        there is none.
    anchor
        Row of its smallest part.
    pieces
        The pieces that hang on it, each with the zone and the magnitude of the speed, in rpm, of
        the part that it hangs on.
    findings
        What is wrong with it by itself, each with its zone.
    """

    state: State
    saved: tuple[int, ...]
    turns: bool
    capacity: Fraction
    demand: Fraction | None
    top: Fraction | None
    at: int
    anchor: int
    pieces: tuple[tuple[int, int, Fraction], ...]
    findings: tuple[tuple[Finding, int], ...]


@dataclass(frozen=True)
class Resting:
    """A finding about a network without an active mover, in one state of the trunk."""

    state: State
    finding: Finding


def iter_drives(
    subject: Subject, rows: Rows, states: Sequence[State], hung: Mapping[int, Sequence[int]]
) -> Iterator[Drive | Resting]:
    """Solve a trunk in some states and yield its drives.

    Parameters
    ----------
    subject
        The trunk.
    rows
        Row of each of its parts in the whole.
    states
        The states of its levers, the fewest throws first.
    hung
        The pieces, by number, that hang on each part of the trunk.

    Notes
    -----
    A network of the same parts, with the same settings of the levers among them, is the same
    whatever else is thrown: it is yielded in the first state alone.
    """
    entries = sorted(hung)
    seen: set[bytes] = set()
    for tiles in iter_tiles(subject, states):
        yield from _Reader(tiles, rows, hung, entries).read(seen)


class _Reader:
    def __init__(
        self,
        tiles: Tiles,
        rows: Rows,
        hung: Mapping[int, Sequence[int]],
        entries: Sequence[int],
    ) -> None:
        self._tiles, self._rows = tiles, rows
        self._hung, self._entries = hung, np.array(entries, np.int64)
        self._solution: Solution = tiles.solve()
        speeds = [abs(speed) for speed in self._solution.speeds]
        order = {speed: place for place, speed in enumerate(sorted(set(speeds)))}
        self._speeds = speeds
        self._settings = _settings(tiles)
        self._rank = np.array([*(order[speed] for speed in speeds), -1], np.int64)

    def read(self, seen: set[bytes]) -> Iterator[Drive | Resting]:
        networks, solution = self._tiles.networks, self._solution
        found: dict[int, list[tuple[Finding, int]]] = {}
        for finding in self._tiles.judge(solution).items:
            assert finding.network is not None, "only rules about networks are judged"
            found.setdefault(finding.network, []).append((finding, self._zone_of(finding)))
        driven = np.unique(networks.network[solution.active]).tolist()
        hung = self._hung_by_network()
        for network in driven:
            findings = found.pop(network, [])
            if self._is_new(network, seen):
                yield self._drive(network, findings, hung.get(network, []))
        for network, findings in sorted(found.items()):
            if not self._is_new(network, seen):
                continue
            state = self._tiles.states[self._copy(network)]
            yield from (Resting(state, finding) for finding, _ in findings)

    def _is_new(self, network: int, seen: set[bytes]) -> bool:
        members = self._tiles.networks.members(network)
        name = hashlib.blake2b((members % self._tiles.size).tobytes(), digest_size=16)
        name.update(self._settings[members].tobytes())
        digest = name.digest()
        if digest in seen:
            return False
        seen.add(digest)
        return True

    def _copy(self, network: int) -> int:
        return int(self._tiles.networks.anchor[network]) // self._tiles.size

    def _zone_of(self, finding: Finding) -> int:
        """Return the zone that a finding's witness lies in, -1 where it leads through several."""
        tiles = self._tiles
        assert finding.network is not None, "only rules about networks are judged"
        if finding.witness is None or finding.names or finding.rule != "mover-conflict":
            return -1
        members = tiles.networks.members(finding.network)
        at = np.array(finding.witness.parts[0])
        row = members[(tiles.parts.xyz[members] == at).all(axis=1)][0]
        return int(tiles.networks.zone[row])

    def _hung_by_network(self) -> dict[int, list[int]]:
        """Return the parts of each network, as rows, that pieces hang on."""
        copies = np.arange(len(self._tiles.states))[:, None] * self._tiles.size
        rows = (copies + self._entries).reshape(-1)
        found: dict[int, list[int]] = {}
        of_rows = self._tiles.networks.network[rows].tolist()
        for row, network in zip(rows.tolist(), of_rows, strict=True):
            found.setdefault(network, []).append(row)
        return found

    def _drive(
        self, network: int, findings: list[tuple[Finding, int]], hung: Sequence[int]
    ) -> Drive:
        tiles, solution = self._tiles, self._solution
        members = tiles.networks.members(network)
        active = members[solution.active[members]] % tiles.size
        state = NetworkState(int(solution.state[network]))
        rank = self._rank[solution.speed[members]]
        fastest = int(np.argmax(rank))
        number = int(solution.speed[members[fastest]])
        return Drive(
            state=tiles.states[self._copy(network)],
            saved=tuple(np.unique(tiles.subject.network[active]).tolist()),
            turns=state in (NetworkState.TURNING, NetworkState.OVERLOADED),
            capacity=solution.capacity_power(network),
            demand=solution.demand_power(network),
            top=None if number < 0 else self._speeds[number],
            at=-1 if number < 0 else self._row(int(members[fastest])),
            anchor=self._row(int(members[0])),
            pieces=tuple(
                (piece, int(tiles.networks.zone[row]), self._speed(row))
                for row in hung
                for piece in self._hung[row % tiles.size]
            ),
            findings=tuple(findings),
        )

    def _row(self, row: int) -> int:
        return int(self._rows[row % self._tiles.size])

    def _speed(self, row: int) -> Fraction:
        number = int(self._solution.speed[row])
        return Fraction(0) if number < 0 else self._speeds[number]


def _settings(tiles: Tiles) -> npt.NDArray[np.int64]:
    """Return a number for the settings of each part's levers, 0 where all are as the save is."""
    found = np.zeros(len(tiles.parts), np.int64)
    levers = tiles.subject.levers
    most = max((len(lever.settings) for lever in levers.values()), default=1)
    place: dict[int, int] = {}
    weight = {}
    for key, lever in levers.items():
        weight[key] = most ** place.setdefault(lever.part, 0)
        place[lever.part] += 1
    for copy, state in enumerate(tiles.states):
        for key, setting in state:
            found[copy * tiles.size + levers[key].part] += setting * weight[key]
    return found
