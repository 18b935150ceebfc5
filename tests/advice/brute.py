"""A judge that knows no better than to try: every set of edits, the smaller sets first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import combinations

import numpy as np

from analyzer.advice.advice import Edit, Gearing, Spot
from analyzer.advice.workbench import Workbench
from analyzer.base.errors import UsageError
from analyzer.findings.audit import Audit


def whole(audit: Audit) -> Workbench:
    """Return a workbench with everything on it."""
    return Workbench.of_networks(audit, range(len(audit.networks)))


def spot_of(audit: Audit, part: int) -> Spot:
    """Return where a part stands."""
    parts = audit.parts
    return Spot(parts.dimensions[int(parts.dimension[part])], parts.block_at(part))


def machine_rows(audit: Audit) -> list[int]:
    """Return the machines."""
    types = audit.parts.catalogues.types
    return [
        row for row, kind in enumerate(audit.parts.type.tolist()) if types[kind].role == "machine"
    ]


def speeds(audit: Audit) -> dict[Spot, Fraction]:
    """Return the speed of each machine that turns, or would."""
    found = {}
    for row in machine_rows(audit):
        rpm = audit.solution.speed_rpm(row)
        if rpm:
            found[spot_of(audit, row)] = abs(rpm)
    return found


def lost(before: Audit, after: Audit) -> tuple[int, Fraction]:
    """Return how many machines stop, and how much speed machines lose in all."""
    old, new = speeds(before), speeds(after)
    stopped = sum(spot not in new for spot in old)
    return stopped, sum(
        (max(rpm - new.get(spot, Fraction(0)), Fraction(0)) for spot, rpm in old.items()),
        Fraction(0),
    )


def iter_mended(
    bench: Workbench,
    choices: Sequence[Edit],
    count: int,
    mended: Callable[[Audit], bool],
) -> Iterator[tuple[tuple[Edit, ...], Audit]]:
    """Yield every set of so many edits that mends, with what comes of it."""
    for chosen in combinations(choices, count):
        joints = [edit.joint for edit in chosen if isinstance(edit, Gearing)]
        if len(joints) != len(set(joints)):
            # One pair of gears at one coupling.
            continue
        try:
            after = bench.audit_after(chosen)
        except UsageError:
            continue
        if mended(after):
            yield chosen, after


def turns(audit: Audit) -> bool:
    """Tell whether some network with an active mover turns."""
    state = audit.solution.state[audit.networks.network[np.flatnonzero(audit.solution.active)]]
    return bool((state == 0).any())
