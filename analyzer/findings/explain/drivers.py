"""What would drive a part at rest: what its network has already, and what turns nearby."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.couplings.engage import engaged
from analyzer.findings.case import Case
from analyzer.findings.explain.explanation import Driver, DriverKind
from analyzer.findings.explain.ways import Way, chain_along, upstream_neighbours, walk_out
from analyzer.findings.graph import Neighbours
from analyzer.solution.solution import Motion, State


def find_drivers(case: Case, part: int) -> tuple[Driver, ...]:
    """Return what would drive a part at rest, what asks for the least first.

    At most one of each kind: the nearest mover of its network that does not drive, by steps; the
    nearest switch with something that turns beyond it, by steps; the nearest part of its dimension
    that turns, in a straight line. None where the dimension has nothing of the kind.
    """
    neighbours = upstream_neighbours(case, int(case.networks.network[part]))
    coupled = [
        *_resting_mover(case, part, neighbours),
        *_beyond_switch(case, part, neighbours),
    ]
    coupled.sort(key=lambda driver: len(driver.chain))
    turning = _nearest_turning(case, part)
    if turning is not None and turning.part not in [driver.part for driver in coupled]:
        coupled.append(turning)
    return tuple(coupled)


def squares_to(xyz: npt.NDArray[np.int32], at: Block) -> npt.NDArray[np.float64]:
    """Return the square of the distance of each position from one, in blocks, shape (n,)."""
    apart = xyz.astype(np.float64) - np.array(at, np.float64)
    squares: npt.NDArray[np.float64] = (apart**2).sum(axis=1)
    return squares


def squared_between(one: Block, other: Block) -> int:
    """Return the square of the distance between two positions, exactly, in blocks."""
    return sum((a - b) ** 2 for a, b in zip(one, other, strict=True))


def _resting_mover(case: Case, part: int, neighbours: Neighbours) -> Iterator[Driver]:
    """Yield the nearest mover of the network that does not drive, if there is one."""
    types = case.parts.catalogues.types
    found: list[Way] = []

    def reached(other: int, back: Callable[[], Way]) -> bool:
        is_mover = types[int(case.parts.type[other])].role == "mover"
        if is_mover and not case.solution.active[other]:
            found.append(back())
        return bool(found)

    walk_out(neighbours, [part], reached)
    for way in found:
        yield _driver(case, "mover", part, way, ())


def _beyond_switch(case: Case, part: int, neighbours: Neighbours) -> Iterator[Driver]:
    """Yield what turns beyond the nearest coupling that a switch holds open, if there is one."""
    beyond = _turning_beyond(case, int(case.networks.network[part]))
    found: list[tuple[Way, int, int]] = []

    def reached(other: int, back: Callable[[], Way]) -> bool:
        if other in beyond:
            found.append((back(), *beyond[other]))
        return bool(found)

    walk_out(neighbours, [part], reached)
    for way, outer, coupling in found:
        switches = tuple(
            sorted(
                switch
                for switch, guard in _guards(case, coupling)
                if guard >= 0 and guard != case.parts.switch_states()[switch]
            )
        )
        yield _driver(case, "switch", part, [(outer, coupling), *way], switches)


def _turning_beyond(case: Case, network: int) -> dict[int, tuple[int, int]]:
    """Return, by member, the turning part and the coupling that a switch keeps it from."""
    couplings, networks = case.couplings, case.networks
    mask = engaged(couplings, case.parts.switch_states()).couplings
    side_a, side_b = networks.network[couplings.a], networks.network[couplings.b]
    open_ = np.flatnonzero(~mask & ((side_a == network) != (side_b == network)))
    turning = turning_parts(case)
    found: dict[int, tuple[int, int]] = {}
    for number in open_.tolist():
        a, b = int(couplings.a[number]), int(couplings.b[number])
        inner, outer = (a, b) if networks.network[a] == network else (b, a)
        if turning[outer]:
            found.setdefault(inner, (outer, number))
    return found


def _guards(case: Case, coupling: int) -> tuple[tuple[int, int], tuple[int, int]]:
    couplings = case.couplings
    return (
        (int(couplings.a[coupling]), int(couplings.guard_a[coupling])),
        (int(couplings.b[coupling]), int(couplings.guard_b[coupling])),
    )


def turning_parts(case: Case) -> npt.NDArray[np.bool_]:
    """Tell which parts turn, or would if their network were not overloaded; shape (n,)."""
    networks, solution = case.networks, case.solution
    turns = (solution.motion == Motion.TURNS)[networks.zone]
    driven = np.isin(solution.state, (State.TURNING, State.OVERLOADED))[networks.network]
    both: npt.NDArray[np.bool_] = turns & driven
    return both


def _nearest_turning(case: Case, part: int) -> Driver | None:
    parts, networks = case.parts, case.networks
    here = (parts.dimension == parts.dimension[part]) & turning_parts(case)
    here &= networks.network != networks.network[part]
    rows = np.flatnonzero(here)
    if not len(rows):
        return None
    nearest = int(rows[np.argmin(squares_to(parts.xyz[rows], parts.block_at(part)))])
    squared = squared_between(parts.block_at(part), parts.block_at(nearest))
    return Driver("turning part", nearest, (), (), squared)


def _driver(case: Case, kind: DriverKind, part: int, way: Way, switches: tuple[int, ...]) -> Driver:
    head = way[0][0]
    squared = squared_between(case.parts.block_at(part), case.parts.block_at(head))
    chain = chain_along(case, way, case.solution.speed_rpm(head)).steps
    return Driver(kind, head, chain, switches, squared)
