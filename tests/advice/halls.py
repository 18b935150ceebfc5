"""Halls of ten thousand parts: a long line of shafts with a machine, or a row of them, beside."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

from analyzer.catalogue.catalogue import Catalogues
from analyzer.catalogue.load import load_catalogues
from analyzer.findings.audit import Audit
from tests.support.mechanism import SHAFT, Part, audit_of, machine, mechanism, mover


def long_hall(parts: int, *, every: int, torques: int, headroom: Fraction, seed: int = 1) -> Audit:
    """Build a line with a machine at every so many shafts, driven from one end.

    Parameters
    ----------
    parts
        How many parts there are, about.
    every
        Shafts of the line between one machine and the next.
    torques
        How many different torques the machines have.
    headroom
        Spare power per power asked for.
    seed
        Of the torques, drawn by chance, and of the ratios between line and machine.
    """
    draw = random.Random(seed)
    kinds = [replace(SHAFT, limit=256)] + [
        machine(Fraction(1 + 7 * number, 1 + number % 3), limit=256) for number in range(torques)
    ]
    row: list[Part] = []
    couplings = []
    demand, last = Fraction(0), 0
    while len(row) + 1 < parts:
        row.append(kinds[0])
        couplings.append((last, len(row), Fraction(1)))
        last = len(row)
        if len(row) % every == 0:
            torque = draw.choice(kinds[1:])
            ratio = Fraction(draw.choice((1, 1, 2, -1)), draw.choice((1, 1, 2)))
            row.append(torque)
            couplings.append((last, len(row), ratio))
            demand += Fraction(torque.torque or 0) * 8 * abs(ratio)
    wheel = mover(8, torque=demand * (1 + headroom) / 8, limit=256)
    case = mechanism([wheel, *row], couplings)
    return audit_of(
        replace(case, parts=replace(case.parts, catalogues=_with_gears(case.parts.catalogues)))
    )


def _with_gears(catalogues: Catalogues) -> Catalogues:
    """Return a catalogue with the gears of the demo among its types."""
    gears = tuple(
        replace(one, source=0, fits="sketch")
        for one in load_catalogues(["quayworks"]).types
        if one.rim is not None
    )
    return Catalogues(catalogues.sources, catalogues.types + gears)
