"""Small mechanisms with switches and switchable movers, and every state of them by brute force."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

import numpy as np

from analyzer.base.block import BlockState
from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import ByProperty, Field, PartType, Port, Switch
from analyzer.findings.audit import Audit
from analyzer.findings.judge import judge_audit
from analyzer.networks.group import group_networks
from analyzer.parts.parts import Parts
from analyzer.solution.solve import solve_networks
from analyzer.switching.subject import judging_policy
from tests.support.mechanism import (
    SHAFT,
    Part,
    audit_of,
    couplings_table,
    governor,
    machine,
    mechanism,
    mover,
    parts_table,
)

F = Fraction
#: (part, property, value) of what is not as the save holds it, ascending by part and property.
Throws = tuple[tuple[int, str, str], ...]

_ON = ByProperty("lever", (("out", F(0)), ("in", F(1))))
_LIT = ByProperty("lit", (("no", F(0)), ("yes", F(1))))
_WALKERS = ByProperty("lit", (("no", F(0)), ("one", F(1)), ("yes", F(1))))


@dataclass(frozen=True)
class Piece:
    """A part of a hall; `lever` and `lit` are the values of its properties, if it has them.

    A mover with `crew` has a torque for each of the values no, one and yes of `lit`.
    """

    part: Part = SHAFT
    lever: str | None = None
    lit: str | None = None
    crew: bool = False


def clutch(*, engaged: bool = False) -> Piece:
    """A clutch or reverser."""
    return Piece(replace(SHAFT, switch=True), lever="in" if engaged else "out")


def hall(
    pieces: Sequence[Piece],
    couplings: Sequence[tuple[int, int, Fraction | int, int, int]],
    governed: Sequence[tuple[int, int, Fraction | int]] = (),
    cut: Sequence[int] = (),
) -> Audit:
    """Audit a hall; a coupling is two parts, a ratio, and the guard of either part's switch.

    A guard is 1 where the part's switch has to be on, 0 where it has to be off, and -1.
    """
    rows = sorted((a, b, F(ratio), one, two) for a, b, ratio, one, two in couplings)
    table = couplings_table([row[:3] for row in rows], cut, governed)
    table = replace(
        table,
        guard_a=np.array([row[3] for row in rows], np.int8),
        guard_b=np.array([row[4] for row in rows], np.int8),
    )
    parts = _parts(pieces)
    networks = group_networks(parts, table)
    case = mechanism([SHAFT])
    case = replace(
        case,
        parts=parts,
        couplings=table,
        networks=networks,
        solution=solve_networks(parts, table, networks, case.policy),
        selected=np.ones(len(networks), bool),
    )
    return audit_of(case)


def _parts(pieces: Sequence[Piece]) -> Parts:
    # Distinct types for parts with a property, told apart by their least speed's absence.
    plain = parts_table([piece.part for piece in pieces])
    kinds = sorted(
        {
            (int(kind), piece.lever is None, piece.lit is None, piece.crew)
            for kind, piece in zip(plain.type, pieces, strict=True)
        }
    )
    types = []
    for kind, still, always, crew in kinds:
        entry: PartType = plain.catalogues.types[kind]
        entry = replace(
            entry,
            switch=None if still else Switch("clutch", (Port.RIM,), _ON),
            active=None if always else (_WALKERS if crew else _LIT),
            torque=_crew(entry) if crew else entry.torque,
        )
        types.append(entry)
    states = sorted({_state(piece) for piece in pieces})
    numbers = tuple(
        sorted(
            {
                *plain.numbers,
                F(0),
                F(1),
                *(
                    number
                    for entry in types
                    if isinstance(entry.torque, ByProperty)
                    for _, number in entry.torque.values
                ),
            }
        )
    )
    chosen = np.array(
        [
            kinds.index((int(kind), piece.lever is None, piece.lit is None, piece.crew))
            for kind, piece in zip(plain.type, pieces, strict=True)
        ],
        np.int16,
    )
    parts = replace(
        plain,
        catalogues=replace(plain.catalogues, types=tuple(types)),
        type=chosen,
        state=np.array([states.index(_state(piece)) for piece in pieces], np.int32),
        states=tuple(states),
        numbers=numbers,
        fields={
            field: np.array(
                [
                    -1 if (value := plain.number(row, field)) is None else numbers.index(value)
                    for row in range(len(plain))
                ],
                np.int32,
            )
            for field in plain.fields
        },
    )
    return with_values(parts, [dict(_state(piece).properties) for piece in pieces])


def _crew(entry: PartType) -> ByProperty:
    most = entry.torque.value  # type: ignore[union-attr]
    return ByProperty("lit", (("no", F(0)), ("one", most / 2), ("yes", most)))


def _state(piece: Piece) -> BlockState:
    values = {"lever": piece.lever, "lit": piece.lit}
    given = tuple((name, value) for name, value in sorted(values.items()) if value is not None)
    return BlockState("sketch:part", given)


def with_values(parts: Parts, values: Sequence[dict[str, str]]) -> Parts:
    """Return the parts with the numbers that their properties' values give them."""
    columns = {field: column.copy() for field, column in parts.fields.items()}
    for field in (Field.SWITCH, Field.ACTIVE):
        columns[field] = np.full(len(parts), -1, np.int32)
    for row, named in enumerate(values):
        for field, number in parts.catalogues.types[int(parts.type[row])].numbers:
            if isinstance(number, ByProperty):
                given = dict(number.values)[named[number.property]]
                columns[field][row] = parts.numbers.index(given)
    return replace(parts, fields=columns)


@dataclass(frozen=True)
class Yard:
    """Many halls side by side, and all of them in each of their states.

    Parameters
    ----------
    audit
        The audit of all halls, each as drawn.
    hall_of
        Number of the hall of each part.
    rounds
        The audits with every hall in one of its states, until each was in all of its own; with
        each what is thrown in each hall.
    """

    audit: Audit
    hall_of: tuple[int, ...]
    rounds: tuple[tuple[Audit, tuple[Throws, ...]], ...]


def random_yard(seed: int, halls: int, *, most_levers: int) -> Yard:
    """Draw halls and solve every state of each through the public stages."""
    pieces: list[Piece] = []
    couplings: list[tuple[int, int, Fraction, int, int]] = []
    governed: list[tuple[int, int, Fraction]] = []
    hall_of: list[int] = []
    for number in range(halls):
        drawn = _random_hall(random.Random(1000 * seed + number), most_levers)
        first = len(pieces)
        pieces += drawn.pieces
        couplings += [(a + first, b + first, *rest) for a, b, *rest in drawn.couplings]
        governed += [(a + first, b + first, ratio) for a, b, ratio in drawn.governed]
        hall_of += [number] * len(drawn.pieces)
    audit = hall(pieces, couplings, governed)
    return Yard(audit, tuple(hall_of), tuple(_iter_rounds(audit, hall_of, halls)))


def _iter_rounds(
    audit: Audit, hall_of: Sequence[int], halls: int
) -> Iterator[tuple[Audit, tuple[Throws, ...]]]:
    parts = audit.parts
    now = [dict(parts.states[number].properties) for number in parts.state.tolist()]
    states: list[list[Throws]] = []
    for number in range(halls):
        rows = [row for row, one in enumerate(hall_of) if one == number]
        levers = sorted((row, name) for row in rows for name in now[row])
        ways = [[value for value, _ in _values(parts, row, name)] for row, name in levers]
        states.append(
            [
                tuple(
                    (row, name, value)
                    for (row, name), value in zip(levers, chosen, strict=True)
                    if value != now[row][name]
                )
                for chosen in product(*ways)
            ]
        )
    policy = judging_policy(audit.policy)
    for turn in range(max(map(len, states))):
        throws = tuple(own[turn % len(own)] for own in states)
        values = [dict(named) for named in now]
        for row, name, value in (one for own in throws for one in own):
            values[row][name] = value
        yield _audited(audit, with_values(parts, values), policy), throws


def _audited(audit: Audit, parts: Parts, policy: Policy) -> Audit:
    networks = group_networks(parts, audit.couplings)
    solution = solve_networks(parts, audit.couplings, networks, policy)
    everything = np.ones(len(networks), bool)
    findings = judge_audit(
        audit.scan, parts, audit.couplings, networks, solution, policy, everything
    )
    return replace(
        audit,
        parts=parts,
        networks=networks,
        solution=solution,
        findings=findings,
        selected=everything,
    )


def _values(parts: Parts, row: int, name: str) -> tuple[tuple[str, Fraction], ...]:
    entry = parts.catalogues.types[int(parts.type[row])]
    return next(
        number.values
        for _, number in entry.numbers
        if isinstance(number, ByProperty) and number.property == name
    )


@dataclass(frozen=True)
class _Drawn:
    pieces: list[Piece]
    couplings: list[tuple[int, int, Fraction, int, int]]
    governed: list[tuple[int, int, Fraction]]


def _random_hall(draw: random.Random, most_levers: int) -> _Drawn:
    """Draw a hall: a tree of parts, some rings, clutches, reversers, movers that can rest."""
    count = draw.randrange(5, 16)
    pieces = [Piece(mover(draw.choice((8, 8, 4)), torque=draw.choice((4, 8, 16))))]
    levers = 0
    for _ in range(count - 1):
        kind = draw.random()
        limit = draw.choice((None, None, 16, 24))
        if kind < 0.35 and levers < most_levers:
            levers += 1
            pieces.append(clutch(engaged=draw.random() < 0.5))
        elif kind < 0.65:
            pieces.append(Piece(machine(draw.choice((1, 2, 4, 8)), limit=limit)))
        elif kind < 0.75 and levers < most_levers:
            levers += 1
            crew = draw.random() < 0.3
            lit = draw.choice(("no", "yes"))
            pieces.append(Piece(mover(draw.choice((8, 8, -8, 4)), torque=8), lit=lit, crew=crew))
        elif kind < 0.80:
            pieces.append(Piece(mover(draw.choice((8, -8)), torque=8)))
        elif kind < 0.84:
            pieces.append(Piece(governor(draw.choice((4, 8, -8)), follows=draw.random() < 0.5)))
        else:
            pieces.append(Piece(replace(SHAFT, limit=limit)))
    reach = draw.choice((2, 5, count))
    pairs = [(draw.randrange(max(0, row - reach), row), row) for row in range(1, count)]
    pairs += [tuple(sorted(draw.sample(range(count), 2))) for _ in range(draw.choice((0, 0, 1, 2)))]
    # Positions are shuffled, so that a network's smallest part lies anywhere.
    place = list(range(count))
    draw.shuffle(place)
    shuffled = [pieces[place.index(row)] for row in range(count)]
    couplings, governed = [], []
    for first, second in pairs:
        a, b = sorted((place[first], place[second]))
        ratio = F(draw.choice((1, 1, 1, 2, F(1, 2), -1, 3)))
        held = [row for row in (a, b) if shuffled[row].part.set_rpm is not None]
        if held and draw.random() < 0.5:
            governed.append((held[0], a + b - held[0], ratio))
            continue
        couplings += _guarded(draw, shuffled, a, b, ratio)
    return _Drawn(shuffled, couplings, sorted(set(governed)))


def _guarded(
    draw: random.Random, pieces: Sequence[Piece], a: int, b: int, ratio: Fraction
) -> list[tuple[int, int, Fraction, int, int]]:
    rows = [(a, b, ratio, -1, -1)]
    for side, part in ((3, a), (4, b)):
        way = draw.random()
        if pieces[part].lever is None or way < 0.4:
            continue
        flipped = []
        for row in rows:
            on = list(row)
            on[side] = 1
            if way > 0.8:
                off = list(row)
                off[side] = 0
                flipped.append(tuple(off))
                on[2] = -row[2]
            flipped.append(tuple(on))
        rows = flipped
    return rows
