"""Findings from what a rule found: the places in order, the name in later runs, the level."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from analyzer.base.place import Block
from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding, Witness

#: Hexadecimal digits of a fingerprint: 64 bits, so that a million findings hardly collide.
FINGERPRINT_DIGITS: Final = 16


def network_finding(
    case: Case,
    rule: str,
    level: Level,
    network: int,
    places: Sequence[Block],
    *,
    count: int,
    certain: bool = True,
    measured: Fraction | None = None,
    limit: Fraction | None = None,
    unit: str = "",
    witness: Witness | None = None,
) -> Finding:
    """Return a finding about one network.

    Parameters
    ----------
    case, rule, level, network
        What is judged, by which rule, how grave it is, and the network's number.
    places
        At least one place, the worst first; as many are kept as the policy allows.
    count
        How many places there are in all.
    certain
        False where it holds only as far as the save was read.
    measured, limit, unit, witness
        See `Finding`.
    """
    dimension = case.dimension_of(network)
    anchor = case.parts.block_at(int(case.networks.anchor[network]))
    return Finding(
        rule=rule,
        level=level,
        certain="yes" if certain else "as far as read",
        dimension=dimension,
        network=network,
        at=places[0],
        also=tuple(places[1 : case.policy.worst_places]),
        count=count,
        measured=measured,
        limit=limit,
        unit=unit,
        witness=witness,
        fingerprint=fingerprint_of(rule, dimension, witness.parts if witness else [anchor]),
    )


def save_finding(
    rule: str,
    level: Level,
    *,
    count: int,
    dimension: str = "",
    also: Sequence[Block] = (),
    names: Iterable[tuple[str, int]] = (),
) -> Finding:
    """Return a finding about a save, or one dimension of it, as a whole.

    Parameters
    ----------
    rule, level
        By which rule, and how grave it is.
    count
        How many things it is about.
    dimension, also, names
        See `Finding`.
    """
    return Finding(
        rule=rule,
        level=level,
        certain="yes",
        dimension=dimension,
        network=None,
        at=None,
        also=tuple(also),
        count=count,
        measured=None,
        limit=None,
        unit="",
        witness=None,
        fingerprint=fingerprint_of(rule, dimension, ()),
        names=tuple(names),
    )


def fingerprint_of(rule: str, dimension: str, places: Iterable[Block]) -> str:
    """Return the stable name of a finding.

    Parameters
    ----------
    rule, dimension
        Name of the rule; name of the dimension.
    places
        Positions of the witness, in any order; without one, the network's anchor; for a finding
        about a dimension or a save as a whole, none.

    >>> fingerprint_of("overload", "minecraft:overworld", [Block(3, 64, -20)])
    '12adc963d29d0685'
    """
    lines = [rule, dimension, *(f"{x},{y},{z}" for x, y, z in sorted(places))]
    digest = hashlib.sha256("\n".join(lines).encode("utf-8", "surrogatepass"))
    return digest.hexdigest()[:FINGERPRINT_DIGITS]
