"""Advice on spare power: the best choice of gears for a network, solved again with them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.advice.advice import Alongside, Edit, Gearing, Spot
from analyzer.advice.edits import joint_of
from analyzer.advice.outline import machines_of, outlines_of
from analyzer.advice.remedies.drive_tree import speed_limits
from analyzer.advice.spare.best import Best, best_choice
from analyzer.advice.spare.instead import others
from analyzer.advice.spare.pieces import Piece, Ratios, in_order, pieces_of, ratios_of
from analyzer.advice.spare.spare import Instead, Reason, Spare, Spending, Turn, Unspent
from analyzer.advice.workbench import Workbench, trial_of
from analyzer.base.policy import Level
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.engage import engaged
from analyzer.findings.audit import Audit
from analyzer.solution.solution import State

#: Most parts of a network that is looked into.
MOST_PARTS: Final = 100_000


def spend_power(audit: Audit, network: int, spending: Spending) -> Spare | Unspent:
    """Tell how best to spend a network's headroom.

    Parameters
    ----------
    audit
        The audit of a save.
    network
        The network's number.
    spending
        What is made greatest, and how.

    Returns
    -------
    Spare or Unspent
        Without headroom to look into, the reason. An answer was verified: the network with the
        edits was solved and judged again, and comes to just what was reckoned.
    """
    bench = Workbench.of_networks(audit, [network])
    if len(bench.parts) > MOST_PARTS:
        return _unspent(bench.before, "too-large")
    added = _added(bench.before, spending)
    if added is None:
        return _unspent(bench.before, "no-such-mover")
    now = bench.audit_after(added) if added else bench.before
    reason = _reason(now)
    if reason is not None:
        return _unspent(bench.before, reason)
    ratios = ratios_of(now)
    trunk = pieces_of(now, engaged(now.couplings, now.parts.switch_states()), ratios, spending)
    capacity = now.solution.capacity_power(0)
    best = best_choice(trunk, ratios, goal=spending.goal, steps=spending.steps, capacity=capacity)
    if best is None:
        return _unspent(bench.before, "too-large")
    edits: list[Edit] = [*added, *_gearings(now, best, ratios)]
    after = bench.audit_after(edits)
    worth, demand = worth_of(now, after, spending), after.solution.demand_power(0)
    if not _stands(now, after) or worth != best.optimum.found or demand is None:
        return _unspent(bench.before, "not-confirmed")
    return Spare(
        spending=spending,
        network=outlines_of(bench.before)[0],
        trial=trial_of(bench.before, after, edits),
        turns=_turns(now, after),
        worth_before=worth_of(now, now, spending),
        worth=worth,
        left_power=after.solution.capacity_power(0) - demand,
        optimum=best.optimum,
        instead=_instead(now, best, ratios, spending),
        held=_held(now, after, spending),
    )


def worth_of(now: Audit, after: Audit, spending: Spending) -> Fraction:
    """Return what an audit of a network comes to: a sum of weighted speeds, or the least share.

    Parameters
    ----------
    now
        The network as it is: where no limit bounds a machine, it could use the speed that the
        fastest gears make of what it has there.
    after
        The network whose speeds count, with the same parts.
    spending
        What is made greatest.
    """
    if spending.goal == "even":
        return min(_shares(now, after, spending).values(), default=Fraction(0))
    weights, types = dict(spending.weights), after.parts.catalogues.types
    total = Fraction(0)
    for part in np.flatnonzero(machines_of(after.parts)).tolist():
        rpm = abs(after.solution.speed_rpm(part) or Fraction(0))
        total += rpm * weights.get(types[int(after.parts.type[part])].block, 1)
    return total


def _shares(now: Audit, after: Audit, spending: Spending) -> dict[int, Fraction]:
    """Return the share that each machine that turns has of what it could use."""
    types, limits = now.parts.catalogues.types, speed_limits(now)
    pairs = ratios_of(now).pairs
    shares = {}
    for part in np.flatnonzero(machines_of(now.parts)).tolist():
        rpm, kind = now.solution.speed_rpm(part), int(now.parts.type[part])
        if rpm:
            fastest = max(pairs[types[kind].fits], default=Fraction(1)) ** spending.steps
            could = limits[kind] or abs(rpm) * max(fastest, Fraction(1))
            shares[part] = abs(after.solution.speed_rpm(part) or Fraction(0)) / could
    return shares


def _reason(now: Audit) -> Reason | None:
    """Return why there is no headroom to look into."""
    state = State(int(now.solution.state[0]))
    if state == State.CONFLICTING:
        return "conflicting"
    if state == State.IDLE:
        return "idle"
    if now.solution.demand_power(0) is None:
        return "demand-unknown"
    if state == State.OVERLOADED:
        return "overloaded"
    turning = [now.solution.speed_rpm(part) for part in np.flatnonzero(machines_of(now.parts))]
    return None if any(turning) else "no-machine-turns"


def _unspent(before: Audit, reason: Reason) -> Unspent:
    return Unspent(outlines_of(before)[0], reason)


def _added(before: Audit, spending: Spending) -> list[Alongside] | None:
    """Return the movers put alongside the strongest of their type; None where it has none."""
    parts, types = before.parts, before.parts.catalogues.types
    found: dict[Spot, int] = {}
    for count, block in spending.added:
        rows = [
            part
            for part in np.flatnonzero(before.solution.active).tolist()
            if types[int(parts.type[part])].block == block
        ]
        if not rows:
            return None
        part = max(rows, key=lambda row: (_power(before, row), -row))
        spot = Spot(parts.dimensions[int(parts.dimension[part])], parts.block_at(part))
        found[spot] = found.get(spot, 0) + count
    return [Alongside(spot, count) for spot, count in sorted(found.items())]


def _power(audit: Audit, part: int) -> Fraction:
    rated, torque = (audit.parts.number(part, field) for field in (Field.RATED_RPM, Field.TORQUE))
    return abs(rated or Fraction(0)) * (torque or Fraction(0))


def _gearings(now: Audit, best: Best, ratios: Ratios) -> list[Gearing]:
    geared = [
        (piece, best.ratios[id(piece)])
        for piece in in_order(best.trunk)
        if id(piece) in best.ratios
    ]
    edits = [_gearing(now, piece, ratio, ratios) for piece, ratio in geared]
    return sorted(edits, key=lambda edit: (edit.joint, edit.behind))


def _gearing(now: Audit, piece: Piece, ratio: Fraction, ratios: Ratios) -> Gearing:
    assert piece.coupling is not None
    assert piece.fits is not None
    coupling, behind = piece.coupling
    joint = joint_of(now.parts, now.couplings, coupling)
    # A pair of gears in mesh turns the sense round.
    return Gearing(joint, now.parts.block_at(behind), -ratio, ratios.pairs[piece.fits][ratio])


def _stands(now: Audit, after: Audit) -> bool:
    """Tell whether the network turns, and no rule finds what it did not find before."""
    old = {one.rule for one in now.findings.items if one.level >= Level.WARNING}
    new = {one.rule for one in after.findings.items if one.level >= Level.WARNING}
    turns = len(after.networks) == 1 and after.solution.state[0] == State.TURNING
    return bool(turns) and new <= old | {"thin-headroom"}


def _turns(now: Audit, after: Audit) -> tuple[Turn, ...]:
    parts, machine = now.parts, machines_of(now.parts)
    turns = []
    for part in np.flatnonzero(now.solution.speed >= 0).tolist():
        old, new = now.solution.speed_rpm(part), after.solution.speed_rpm(part)
        if old != new and old is not None and new is not None:
            spot = Spot(parts.dimensions[int(parts.dimension[part])], parts.block_at(part))
            turns.append(Turn(spot, old, new, bool(machine[part])))
    return tuple(turns)


def _instead(now: Audit, best: Best, ratios: Ratios, spending: Spending) -> tuple[Instead, ...]:
    if spending.goal == "even":
        return ()
    capacity = now.solution.capacity_power(0)
    return tuple(
        Instead(_gearing(now, one.piece, one.ratio, ratios), one.worth, one.short_power)
        for one in others(best, ratios, steps=spending.steps, capacity=capacity)
    )


def _held(now: Audit, after: Audit, spending: Spending) -> tuple[Spot, ...]:
    if spending.goal == "throughput":
        return ()
    shares = _shares(now, after, spending)
    least = min(shares.values())
    parts = now.parts
    held: Sequence[int] = [part for part, share in sorted(shares.items()) if share == least]
    return tuple(
        Spot(parts.dimensions[int(parts.dimension[part])], parts.block_at(part)) for part in held
    )
