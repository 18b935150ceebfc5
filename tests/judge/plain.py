"""The judge: a slow, plain solver of builds that shares nothing with the tool.

It reads a catalogue as TOML gives it and a build as a list of blocks, tries every neighbour of
every part, and walks. Where the tool has tables, exponents and forests, this has dictionaries,
fractions and breadth-first search.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from tests.judge.contacts import Coupling, couplings
from tests.judge.entries import Part, Place, Placement, entry_of, understand
from tests.judge.loops import (
    Edge,
    Steps,
    balanced,
    blocks,
    reached,
    shortest_unbalanced_loop,
    steps_from,
)


@dataclass(frozen=True)
class Verdict:
    """What the judge says of one network.

    `speeds` are in rpm about each part's positive world axis, None where there are none (idle,
    conflicting). `demand` is None where it is unknown. `loops` holds the length of the shortest
    unbalanced loop of each unbalanced block, ascending, and is empty without a conflict by loop;
    `path` the number of parts between two movers that cannot agree, at the fewest.
    """

    members: tuple[Place, ...]
    state: str
    conflict: str | None
    speeds: dict[Place, Fraction | None]
    capacity: Fraction
    demand: Fraction | None
    loops: tuple[int, ...]
    path: int | None
    over_speed: frozenset[Place]
    couplings: tuple[Coupling, ...]

    @property
    def loop_count(self) -> int:
        """How many loops there are that do not follow from others, in pairs of parts."""
        pairs = {(coupling.a, coupling.b) for coupling in self.couplings}
        return len(pairs) - len(self.members) + 1


def read_catalogue(text: str) -> dict[str, Any]:
    """Return a catalogue's text as TOML, with exact decimals."""
    return tomllib.loads(text, parse_float=Decimal)


def judge(catalogues: list[dict[str, Any]], build: list[Placement]) -> list[Verdict]:
    """Return a verdict on every network of a build, in the order of their smallest members."""
    understood = [understand(catalogues, placement) for placement in build]
    parts = {part.place: part for part in understood if part is not None}
    every = couplings(list(parts.values()))
    steps = steps_from([Edge(coupling.a, coupling.b, coupling.ratio) for coupling in every])
    verdicts = []
    placed: set[Place] = set()
    for place in sorted(parts):
        if place not in placed:
            members = sorted(reached(place, steps))
            placed.update(members)
            among = set(members)
            inside = [coupling for coupling in every if coupling.a in among]
            verdicts.append(_verdict(catalogues, [parts[member] for member in members], inside))
    return verdicts


def _verdict(
    catalogues: list[dict[str, Any]], members: list[Part], inside: list[Coupling]
) -> Verdict:
    edges = [Edge(coupling.a, coupling.b, coupling.ratio) for coupling in inside]
    movers = [part for part in members if part.role == "mover" and part.active]
    speeds: dict[Place, Fraction | None] = {part.place: None for part in members}
    demand: Fraction | None = None
    conflict = path = None
    loops: tuple[int, ...] = ()
    capacity = sum((part.torque * abs(part.rated) for part in movers), Fraction(0))
    if not balanced(edges):
        state, conflict = "conflicting", "loop"
        unbalanced = [block for block in blocks(edges) if not balanced(block)]
        loops = tuple(sorted(shortest_unbalanced_loop(block) for block in unbalanced))
    elif not movers:
        state, demand = "idle", Fraction(0)
    else:
        steps = steps_from(edges)
        turns = _turns(members[0].place, steps)
        asked = {mover.place: _rated_about_axis(mover) / turns[mover.place] for mover in movers}
        clashing = _clashing(catalogues, movers, asked)
        if clashing:
            state, conflict = "conflicting", "movers"
            path = 1 + min(reached(first, steps)[second] for first, second in clashing)
        else:
            leading = max(asked.values(), key=abs)
            speeds = {part.place: leading * turns[part.place] for part in members}
            demand = _demand(members, speeds)
            state = "overloaded" if demand is not None and demand > capacity else "turning"
    return Verdict(
        members=tuple(part.place for part in members),
        state=state,
        conflict=conflict,
        speeds=speeds,
        capacity=capacity,
        demand=demand,
        loops=loops,
        path=path,
        over_speed=frozenset(part.place for part in members if _too_fast(part, speeds)),
        couplings=tuple(inside),
    )


def _turns(root: Place, steps: Steps) -> dict[Place, Fraction]:
    """Return the turns of every part per turn of the root."""
    turns = {root: Fraction(1)}
    waiting = [root]
    for here in waiting:
        for there, ratio in steps.get(here, []):
            if there not in turns:
                turns[there] = turns[here] * ratio
                waiting.append(there)
    return turns


def _rated_about_axis(mover: Part) -> Fraction:
    """Return a mover's rated speed about the positive axis: its front looks that way or back."""
    return mover.rated if mover.front == mover.axis else -mover.rated


def _clashing(
    catalogues: list[dict[str, Any]], movers: list[Part], asked: dict[Place, Fraction]
) -> list[tuple[Place, Place]]:
    """Return the pairs of movers that cannot agree: opposite ways, else unequal if that counts."""
    pairs = [(a, b) for a in asked for b in asked if a < b]
    opposite = [(a, b) for a, b in pairs if (asked[a] > 0) != (asked[b] > 0)]
    strict = any(
        entry_of(catalogues, mover.placement.block)[0].get("unequal_movers") == "conflict"
        for mover in movers
    )
    unequal = [(a, b) for a, b in pairs if strict and asked[a] != asked[b]]
    return opposite or unequal


def _demand(members: list[Part], speeds: dict[Place, Fraction | None]) -> Fraction | None:
    demand = Fraction(0)
    for part in members:
        if part.role == "machine":
            if part.torque is None:
                return None
            demand += part.torque * abs(speeds[part.place])
    return demand


def _too_fast(part: Part, speeds: dict[Place, Fraction | None]) -> bool:
    speed = speeds[part.place]
    return speed is not None and part.limit is not None and abs(speed) > part.limit
