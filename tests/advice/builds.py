"""Random small mechanisms for the judge of advice: parts by hand, with gears in their catalogue."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from analyzer.catalogue.catalogue import Catalogues, Constant, End, PartType, PoseByAxis, Rim
from analyzer.findings.audit import Audit
from analyzer.findings.case import Case
from tests.support.mechanism import SHAFT, Part, audit_of, machine, mechanism, mover

#: Teeth of the gears that the catalogue of every build offers, far rims from 20 on.
TEETH = (12, 16, 24)
#: The ratios that a pair of them on parallel shafts makes.
RATIOS = sorted(
    {Fraction(a, b) for a in TEETH for b in TEETH if a != b and not (a >= 20 and b >= 20)}
)


def audit_with_gears(case: Case) -> Audit:
    """Judge a case again with gears among the types of its catalogue."""
    types = case.parts.catalogues.types
    more = tuple(gear_type(teeth) for teeth in TEETH)
    catalogues = Catalogues(case.parts.catalogues.sources, types + more)
    return audit_of(replace(case, parts=replace(case.parts, catalogues=catalogues)))


def gear_type(teeth: int) -> PartType:
    """Return a gear: a near rim up to 19 teeth, else a far one."""
    return PartType(
        block=f"sketch:wheel_{teeth}",
        source=0,
        role="transmission",
        entities=("sketch:gear",),
        pose=PoseByAxis("axis"),
        ends=(End(0, Constant(Fraction(1))), End(1, Constant(Fraction(-1)))),
        rim=Rim(
            "far" if teeth >= 20 else "near",
            Constant(Fraction(teeth)),
            frozenset({"beside", "diagonal"} if teeth < 20 else {"diagonal", "crossed"}),
        ),
        rated_rpm=None,
        torque=None,
        active=None,
        speed_limit_rpm=None,
        fits="sketch",
    )


def random_hall(
    draw: random.Random,
    *,
    machines: int,
    shafts: int,
    movers: int = 1,
    limit: int | None = None,
    least: bool = False,
    rings: int = 0,
) -> Audit:
    """Draw a hall: movers, shafts and machines joined as a tree, perhaps with balanced rings."""
    parts: list[Part] = [mover(8, torque=draw.choice((8, 16, 24))) for _ in range(movers)]
    parts += [replace(SHAFT, limit=limit) for _ in range(shafts)]
    for _ in range(machines):
        needs = draw.choice((None, 2, 6)) if least else None
        parts.append(machine(draw.choice((1, 2, 4, 5, 8)), least=needs, limit=limit))
    first, rest = parts[:1], parts[1:]
    draw.shuffle(rest)
    parts = first + rest
    speeds = [Fraction(1)] + [
        Fraction(draw.choice((1, 1, 1, 2, 3)), draw.choice((1, 1, 2))) for _ in parts[1:]
    ]
    for row, part in enumerate(parts):
        if part.role == "mover":
            speeds[row] = Fraction(1)
    pairs = {(draw.randrange(max(0, row - 4), row), row) for row in range(1, len(parts))}
    for _ in range(rings):
        a, b = sorted(draw.sample(range(len(parts)), 2))
        pairs.add((a, b))
    couplings = [(a, b, speeds[b] / speeds[a]) for a, b in sorted(pairs)]
    return audit_with_gears(mechanism(parts, couplings))


def random_tangle(draw: random.Random, *, parts: int, more: int) -> Audit:
    """Draw couplings some of which contradict the rest, no pair coupled twice."""
    kinds: list[Part] = [mover(8)]
    kinds += [draw.choice((SHAFT, SHAFT, machine(4), mover(8))) for _ in range(parts - 1)]
    pairs = {(draw.randrange(max(0, row - 3), row), row) for row in range(1, parts)}
    for _ in range(more):
        a, b = sorted(draw.sample(range(parts), 2))
        pairs.add((a, b))
    gains = [
        (a, b, Fraction(draw.choice((1, 1, 1, -1, 2, Fraction(1, 2), -2))))
        for a, b in sorted(pairs)
    ]
    return audit_with_gears(mechanism(kinds, gains))


def iter_draws(seed: int, count: int) -> Iterator[random.Random]:
    """Yield so many sources of chance."""
    for number in range(count):
        yield random.Random(1000 * seed + number)


def rules(audit: Audit) -> Sequence[str]:
    """Return the rules of all findings."""
    return [one.rule for one in audit.findings.items]
