"""Random worlds of small rigs whose recorded speeds are those of the right catalogue."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

import numpy as np

from analyzer.base.frame import pose_facing
from analyzer.base.frame_tables import POSE_FACES, POSE_MATRIX, UNIT_VECTORS
from analyzer.base.placements import beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import (
    ByProperty,
    Catalogues,
    Constant,
    End,
    Link,
    Meeting,
    PartType,
    PoseByAxis,
    PoseByFacing,
    Rim,
    Source,
    Switch,
)
from analyzer.couplings.couplings import Couplings
from analyzer.couplings.engage import engaged
from analyzer.couplings.find import find_couplings
from analyzer.findings.trial.hold import hold_trial
from analyzer.findings.trial.trial import Trial
from analyzer.networks.group import group_networks
from analyzer.networks.networks import Networks
from analyzer.parts.make import make_parts
from analyzer.parts.parts import Links, Parts, Records
from analyzer.save.scan.scan import Coverage, Scan
from analyzer.solution.solution import Solution, State
from analyzer.solution.solve import solve_networks
from tests.parts.scans import Found, scan_of

FLOATS = {5: np.float32, 6: np.float64}
NEAR, FAR = ("beside", "diagonal"), ("diagonal", "crossed")
NOTHING_READ = Coverage((), ())


def one(value) -> Constant:
    return Constant(Fraction(value))


def part_type(block: str, **more) -> PartType:
    base = {
        "block": f"sketch:{block}",
        "source": 0,
        "role": "transmission",
        "entities": (),
        "pose": PoseByAxis("axis"),
        "ends": (End(0, one(1)), End(1, one(-1))),
        "rim": None,
        "rated_rpm": None,
        "torque": None,
        "active": None,
        "speed_limit_rpm": None,
        "fits": "sketch",
    }
    return PartType(**{**base, **more})


def catalogues_of(types) -> Catalogues:
    source = Source("Sketch", "sketch", "1", "MIT", "power", None, "fastest", len(types))
    return Catalogues((source,), tuple(sorted(types, key=lambda entry: entry.block)))


def random_catalogue(rng: random.Random) -> Catalogues:
    """Types of every kind; their numbers differ from world to world."""
    teeth = rng.sample([8, 9, 10, 12, 14, 15, 16, 18, 20, 24, 25, 30, 36, 40], 6)
    facing = PoseByFacing("facing")
    rated = tuple((str(n), Fraction(n * rng.choice([4, 8]))) for n in range(1, 5))
    near, far = frozenset(NEAR), frozenset(FAR)
    chained = ("sketch:wheel",)
    return catalogues_of(
        [
            part_type(
                "mover",
                role="mover",
                pose=facing,
                rated_rpm=ByProperty("power", rated),
                torque=one(10**6),
            ),
            part_type("shaft"),
            part_type(
                "bevel",
                pose=facing,
                ends=tuple(End(side, one(c)) for side, c in ((0, 1), (1, 1), (4, -1), (5, -1))),
            ),
            part_type(
                "riser",
                ends=(
                    End(0, one(1)),
                    End(1, one(-1)),
                    End(2, one(rng.choice([2, Fraction(3, 2), -1, Fraction(-5, 4)]))),
                ),
            ),
            part_type("near_a", rim=Rim("near", one(teeth[0]), near)),
            part_type("near_b", rim=Rim("near", one(teeth[1]), near)),
            part_type("far_a", rim=Rim("far", one(teeth[2]), far)),
            part_type("far_b", rim=Rim("far", one(teeth[3]), far)),
            part_type("stone", ends=(), rim=Rim("near", one(teeth[4]), near)),
            part_type("open_pulley", link=Link(False, one(rng.choice([1, 2])), None)),
            part_type("crossed_pulley", link=Link(True, one(rng.choice([1, 3])), None)),
            part_type("wheel", meets=(Meeting((0, 1, 0), chained, Fraction(1), None),)),
            part_type(
                "reverser",
                pose=facing,
                switch=Switch(
                    "reverser", (1,), ByProperty("on", (("no", Fraction(0)), ("yes", Fraction(1))))
                ),
            ),
            part_type(
                "clutch",
                pose=facing,
                switch=Switch(
                    "clutch", (1,), ByProperty("on", (("no", Fraction(0)), ("yes", Fraction(1))))
                ),
            ),
        ]
    )


@dataclass(frozen=True)
class Piece:
    entry: PartType
    front: int
    at: tuple[int, int, int]
    state: str

    @property
    def pose(self) -> int:
        return pose_facing(self.front)


def fronts_of(entry: PartType) -> tuple[int, ...]:
    return (0, 2, 4) if isinstance(entry.pose, PoseByAxis) else tuple(range(6))


def piece(rng: random.Random, entry: PartType, front: int, at) -> Piece:
    said = (
        f"axis={'xyz'[front >> 1]}"
        if isinstance(entry.pose, PoseByAxis)
        else f"facing={('east', 'west', 'up', 'down', 'south', 'north')[front]}"
    )
    if entry.role == "mover":
        said += f",power={rng.randint(1, 4)}"
    if entry.switch is not None:
        said += f",on={rng.choice(['yes', 'yes', 'no'])}"
    return Piece(entry, front, tuple(int(step) for step in at), f"{entry.block}[{said}]")


class Rig:
    """A few parts grown from one mover, each coupled with an earlier one."""

    def __init__(self, rng: random.Random, types: tuple[PartType, ...]) -> None:
        self.rng = rng
        self.types = types
        self.taken: set[tuple[int, int, int]] = set()
        self.pieces: list[Piece] = []
        self.links: list[tuple[int, int]] = []
        mover = next(entry for entry in types if entry.role == "mover")
        self.place(piece(rng, mover, rng.randrange(6), (0, 0, 0)))
        for _ in range(rng.randint(8, 24)):
            self.grow()

    def place(self, new: Piece) -> None:
        self.pieces.append(new)
        self.taken.add(new.at)

    def grow(self) -> None:
        number = self.rng.randrange(len(self.pieces))
        old = self.pieces[number]
        ways = [self.by_end]
        ways += [self.by_rim] * 5 if old.entry.rim else []
        ways += [self.by_meeting] * 4 if old.entry.meets else []
        ways += [self.by_link] * 2 if old.entry.link else []
        found = self.rng.choice(ways)(old)
        if found is None:
            return
        new, linked = found
        crowd = sum(
            tuple(at - step for at, step in zip(new.at, taken, strict=True)) != (0, 0, 0)
            and max(abs(at - step) for at, step in zip(new.at, taken, strict=True)) <= 1
            for taken in self.taken
        )
        if new.at in self.taken or crowd > (2 if self.rng.random() < 0.2 else 1):
            return
        if linked:
            self.links.append((len(self.pieces), number))
        self.place(new)

    def choose(self, fitting):
        """Choose a type first, so that types with many poses are not met more often."""
        if not fitting:
            return None
        entry = self.rng.choice(sorted({entry.block for entry, _ in fitting}))
        return self.rng.choice([pair for pair in fitting if pair[0].block == entry])

    def by_end(self, old):
        if not old.entry.ends:
            return None
        face = int(POSE_FACES[old.pose, self.rng.choice(old.entry.ends).side])
        fitting = [
            (entry, front)
            for entry in self.types
            if entry.role != "mover"
            for front in fronts_of(entry)
            if any(POSE_FACES[pose_facing(front), end.side] == face ^ 1 for end in entry.ends)
        ]
        chosen = self.choose(fitting)
        at = np.array(old.at) + UNIT_VECTORS[face]
        return None if chosen is None else (piece(self.rng, *chosen, at), False)

    def by_rim(self, old):
        placement = self.rng.choice(sorted(old.entry.rim.placements))
        axis = old.front >> 1
        kind = {"beside": "near", "crossed": "far"}.get(placement)
        kind = kind or ("far" if old.entry.rim.kind == "near" else "near")
        if placement == "crossed":
            step, other, _ = self.rng.choice(crossed_offsets(axis))
        else:
            offsets = beside_offsets if placement == "beside" else diagonal_offsets
            step, other = self.rng.choice(offsets(axis)), axis
        fitting = [(e, 2 * other) for e in self.types if e.rim is not None and e.rim.kind == kind]
        return piece(self.rng, *self.choose(fitting), np.array(old.at) + step), False

    def by_meeting(self, old):
        meeting = self.rng.choice(old.entry.meets)
        step = POSE_MATRIX[old.pose] @ np.array(meeting.at)
        entry = next(e for e in self.types if e.block == self.rng.choice(meeting.types))
        return piece(self.rng, entry, old.front, np.array(old.at) + step), False

    def by_link(self, old):
        step = np.zeros(3, int)
        step[self.rng.choice([n for n in range(3) if n != old.front >> 1])] = self.rng.choice(
            [-4, 4]
        )
        pulleys = [(entry, old.front) for entry in self.types if entry.link is not None]
        return piece(self.rng, *self.choose(pulleys), np.array(old.at) + step), True


Solved = tuple[Parts, Couplings, Networks, Solution]


@dataclass(frozen=True)
class World:
    """A scan, the links in it, the right catalogue, and the speeds that it records."""

    catalogues: Catalogues
    scan: Scan
    links: Links
    records: Records
    numbers: tuple[Fraction, ...]
    solved: Solved

    def solve(self, catalogues: Catalogues) -> Solved:
        return solve_scan(self.scan, self.links, catalogues)

    def judge(self, solved: Solved) -> Trial:
        """Hold the trial of a catalogue, given what it makes of the world."""
        parts, couplings, networks, solution = solved
        return hold_trial(self.with_records(parts), couplings, networks, solution)

    def with_records(self, parts: Parts) -> Parts:
        first = len(parts.numbers)
        records = replace(
            self.records, stored=self.records.stored + first, unit=self.records.unit + first
        )
        return replace(parts, numbers=(*parts.numbers, *self.numbers), recorded=records)

    @cached_property
    def turning(self) -> list[bool]:
        """Which parts have a recorded speed that is not 0."""
        return [self.numbers[index] != 0 for index in self.records.stored.tolist()]

    @cached_property
    def ratios(self) -> dict[tuple[int, ...], Fraction]:
        """The right ratios of what is coupled."""
        return ratios_of(*self.solved[:2])


def solve_scan(scan: Scan, links: Links, catalogues: Catalogues) -> Solved:
    parts = replace(make_parts(scan, catalogues), links=links)
    couplings = find_couplings(parts, NOTHING_READ)
    networks = group_networks(parts, couplings)
    solution = solve_networks(parts, couplings, networks, Policy())
    # Nothing is cut here, though nothing is said to be read.
    return parts, couplings, networks, replace(solution, cut=np.zeros(len(networks), bool))


def ratios_of(parts: Parts, couplings: Couplings) -> dict[tuple[int, ...], Fraction]:
    """Ratio of each engaged coupling by its parts, kind and ports."""
    rows = np.flatnonzero(engaged(couplings, parts.switch_states()).couplings)
    columns = (couplings.a, couplings.b, couplings.kind, couplings.port_a, couplings.port_b)
    pairs = zip(*(column[rows].tolist() for column in columns), strict=True)
    known = [couplings.ratios[index] for index in range(len(couplings.ratios))]
    return {
        pair: known[index]
        for pair, index in zip(pairs, couplings.ratio[rows].tolist(), strict=True)
    }


def random_world(rng: random.Random, *, tag: int, rigs: int = 50) -> World:
    """Rigs in rows, several of each design, so close that they are neighbours of each other."""
    catalogues = random_catalogue(rng)
    designs = [Rig(rng, catalogues.types) for _ in range(rigs)]
    found, links, shift = [], [], np.zeros(3, int)
    for rig in designs:
        low = np.min([piece.at for piece in rig.pieces], axis=0)
        high = np.max([piece.at for piece in rig.pieces], axis=0)
        for _ in range(rng.choice([1, 1, 2])):
            placed = [np.array(piece.at) - low + shift for piece in rig.pieces]
            links += [(tuple(placed[a]), tuple(placed[b])) for a, b in rig.links]
            for one_piece, at in zip(rig.pieces, placed, strict=True):
                found.append(Found(one_piece.state, at=tuple(int(step) for step in at)))
            shift = shift + np.array([high[0] - low[0] + rng.choice([2, 3]), 0, 0])
        if shift[0] > 90:
            shift = np.array([0, 0, shift[2] + 14])
    scan = scan_of(found)
    stored = _links(scan, links)
    solved = solve_scan(scan, stored, catalogues)
    records, numbers = _records(solved[3], solved[2], tag)
    return World(catalogues, scan, stored, records, numbers, solved)


def _links(scan, links) -> Links:
    row_at = {tuple(at): row for row, at in enumerate(scan.candidates.xyz.tolist())}
    rows = sorted((row_at[tuple(map(int, a))], tuple(map(int, b))) for a, b in links)
    return Links(
        np.array([row for row, _ in rows], np.int32),
        np.array([at for _, at in rows], np.int64).reshape(-1, 3),
    )


def _records(solution, networks, tag) -> tuple[Records, tuple[Fraction, ...]]:
    """What the right catalogue's speeds are once rounded to the width of storage."""
    speeds = [
        Fraction(0)
        if solution.state[network] == State.CONFLICTING or index < 0
        else solution.speeds[index]
        for network, index in zip(networks.network.tolist(), solution.speed.tolist(), strict=True)
    ]
    stored = [Fraction(np.format_float_scientific(FLOATS[tag](float(rpm)))) for rpm in speeds]
    numbers = tuple(sorted({*stored, Fraction(1)}))
    number = {value: index for index, value in enumerate(numbers)}
    count = len(speeds)
    records = Records(
        part=np.arange(count, dtype=np.int32),
        stored=np.array([number[value] for value in stored], np.int32),
        unit=np.full(count, number[Fraction(1)], np.int32),
        tag=np.full(count, tag, np.int8),
    )
    return records, numbers
