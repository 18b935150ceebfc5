"""Catalogues with one error each."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from analyzer.base.frame import SIDES
from analyzer.catalogue.catalogue import Catalogues, Constant, PartType
from tests.findings.trial_worlds import Solved, World, catalogues_of, ratios_of


@dataclass(frozen=True)
class Error:
    """An entry made wrong: which type, what of it, its port, and the number that would be right."""

    type: str
    charge: str
    port: str
    right: Fraction | None
    catalogues: Catalogues


def errors_of(rng: random.Random, catalogues: Catalogues) -> Iterator[Error]:
    """Yield every error that is tried, each once."""
    for entry in catalogues.types:
        for port, charge, right, wrong in _wrong(rng, entry):
            types = [wrong if other is entry else other for other in catalogues.types]
            yield Error(entry.block, charge, port, right, catalogues_of(types))


def _wrong(rng, entry: PartType):
    for end in entry.ends:
        rest = tuple(other for other in entry.ends if other is not end)
        right = end.factor.value
        wrong = replace(end, factor=Constant(-right))
        yield SIDES[end.side], "factor", right, replace(entry, ends=(*rest, wrong))
        if entry.switch is None or end.side not in entry.switch.ports:
            yield SIDES[end.side], "no-end", right, replace(entry, ends=rest)
    if entry.rim is not None:
        right = entry.rim.teeth.value
        wrong = rng.choice([n for n in range(8, 41) if n != right])
        rim = replace(entry.rim, teeth=Constant(Fraction(wrong)))
        yield "", "teeth", right, replace(entry, rim=rim)
        yield entry.rim.kind, "no-rim", right, replace(entry, rim=None)
        for placement in sorted(entry.rim.placements):
            rim = replace(entry.rim, placements=entry.rim.placements - {placement})
            yield placement, "no-placement", None, replace(entry, rim=rim)
    if entry.link is not None:
        right = entry.link.diameter.value
        link = replace(entry.link, diameter=Constant(right * rng.choice([2, 3])))
        yield "", "diameter", right, replace(entry, link=link)
        link = replace(entry.link, crossed=not entry.link.crossed)
        yield "", "crossed", None, replace(entry, link=link)
    for meeting in entry.meets:
        rest = tuple(other for other in entry.meets if other is not meeting)
        wrong = replace(meeting, ratio=-meeting.ratio)
        yield "", "ratio", meeting.ratio, replace(entry, meets=(*rest, wrong))
        yield "", "no-offset", meeting.ratio, replace(entry, meets=rest)


def shown(world: World, error: Error, wrong: Solved) -> int:
    """Count the pairs of the world in which an error shows.

    A wrong number shows where both parts turn and the ratio comes out as another. A lack shows
    where two turning parts are joined no longer, and one of them has no mover left.
    """
    parts, couplings, networks, solution = wrong
    ratios = ratios_of(parts, couplings)
    turning = world.turning
    if not error.charge.startswith("no-"):
        return sum(
            turning[pair[0]] and turning[pair[1]] and pair in ratios and ratios[pair] != ratio
            for pair, ratio in world.ratios.items()
        )
    driven = np.zeros(len(networks), bool)
    driven[networks.network[solution.active]] = True
    network = networks.network
    return sum(
        bool(turning[a])
        and network[a] != network[b]
        and not (driven[network[a]] and driven[network[b]])
        for a, b, *_ in world.ratios.keys() - ratios.keys()
    )


def may_show(world: World, error: Error) -> int:
    """Count the turning pairs that have the erring type's coupling: an error shows in no more."""
    parts, _, _, _ = world.solved
    number = [entry.block for entry in parts.catalogues.types].index(error.type)
    kinds = {"factor": 0, "no-end": 0, "teeth": 1, "no-rim": 1, "no-placement": 1}
    kind = kinds.get(error.charge, 3 if error.charge in ("ratio", "no-offset") else 2)
    port = SIDES.index(error.port) if kind == 0 else None
    return sum(
        kind_of == kind
        and bool(world.turning[a])
        and any(
            parts.type[part] == number and port in (None, at)
            for part, at in ((a, port_a), (b, port_b))
        )
        for a, b, kind_of, port_a, port_b in world.ratios
    )
