"""Remedies by gears: for an overload, and for parts that turn too fast or too slow."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from analyzer.advice.advice import Gearing, Proof, Remedy
from analyzer.advice.edits import joint_of
from analyzer.advice.remedies.drive_tree import Bounded, Way, drive_tree, simplified
from analyzer.advice.remedies.gears import gear_pairs
from analyzer.advice.remedies.speed_choice import choose_speeds
from analyzer.advice.remedies.subject import Subject
from analyzer.base.policy import Level
from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.solution.solution import State


def speed_remedies(subject: Subject) -> Iterator[Remedy]:
    """Yield the gears that bring every part of a network within its limits of speed."""
    found = speed_remedy(subject)
    if found is not None:
        yield found


def speed_remedy(subject: Subject) -> Remedy | None:
    """Return the fewest pairs of gears that mend a finding, of these the least speed lost.

    Machines that are fast enough stay so, and parts that are within their limits. Gears that make
    something faster are of use only where a machine has a least speed.
    """
    before, rule = subject.before, subject.finding.rule
    way: Way = "either" if _has_least_speeds(before) else "slower"
    bounded = Bounded(way, fast=rule == "over-speed", slow=rule == "too-slow")
    trunk = simplified(drive_tree(before, subject.engaged, bounded))
    types = before.parts.catalogues.types
    pairs = {
        fits: gear_pairs(before.parts.catalogues, fits)
        for fits in sorted({types[kind].fits for kind in set(before.parts.type.tolist())})
    }
    factors = {
        fits: [factor for factor in own if factor < 1 or (factor > 1 and way == "either")]
        for fits, own in pairs.items()
    }
    chosen = choose_speeds(
        trunk, factors, steps=subject.allowed.steps, capacity=_capacity(before, rule)
    )
    if chosen is None:
        return None
    edits = []
    for coupling, behind, factor in chosen.gears:
        joint = joint_of(before.parts, before.couplings, coupling)
        gears = pairs[types[int(before.parts.type[behind])].fits][factor]
        # A pair of gears in mesh turns the sense round.
        edits.append(Gearing(joint, before.parts.block_at(behind), -factor, gears))
    count = Fraction(len(edits))
    return subject.remedy(
        "change-speed",
        edits,
        Proof("enumeration" if chosen.least else "none", count, Fraction(chosen.bound)),
        lambda after: _mended(subject, after),
    )


def _has_least_speeds(before: Audit) -> bool:
    least = before.parts.column(Field.LEAST_RPM)
    return any(before.parts.numbers[number] for number in set(least[least >= 0].tolist()))


def _capacity(before: Audit, rule: str) -> Fraction | None:
    """Return what the demand must not exceed: nothing where it is unknown, or exceeds it anyway."""
    if before.solution.demand_power(0) is None:
        return None
    overloaded = before.solution.state[0] == State.OVERLOADED
    return before.solution.capacity_power(0) if rule == "overload" or not overloaded else None


def _mended(subject: Subject, after: Audit) -> bool:
    """Tell whether the finding is gone, and no rule finds what it did not find before."""
    old = {one.rule for one in subject.before.findings.items if one.level >= Level.WARNING}
    old |= {"thin-headroom"}
    new = {one.rule for one in after.findings.items if one.level >= Level.WARNING}
    return subject.rule_gone(after) and new <= old
