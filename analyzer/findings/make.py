"""Findings from what a rule found: the places in order, the name in later runs, the level."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from analyzer.base.place import Block
from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding, Witness

#: What a finding comes to in a cut network: it stands; it counts one level less, since what was not
#: read may change it; or it is a note, since it rests on something being absent.
InCut: TypeAlias = Literal["stands", "lower", "note"]

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
    in_cut: InCut = "stands",
    measured: Fraction | None = None,
    limit: Fraction | None = None,
    unit: str = "",
    witness: Witness | None = None,
    names: Iterable[tuple[str, int]] = (),
) -> Finding:
    """Return a finding about one network.

    Parameters
    ----------
    case, rule, level, network
        What is judged, by which rule, how grave it is in a whole network, and the network's number.
    places
        At least one place, the worst first; as many are kept as the policy allows.
    count
        How many places there are in all.
    in_cut
        What it comes to if the network is cut.
    measured, limit, unit, witness, names
        See `Finding`.
    """
    reserved = in_cut != "stands" and bool(case.solution.cut[network])
    dimension = case.dimension_of(network)
    anchor = case.parts.block_at(int(case.networks.anchor[network]))
    return Finding(
        rule=rule,
        level=_lowered(level, in_cut) if reserved else level,
        certain="as far as read" if reserved else "yes",
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
        names=tuple(names),
    )


def _lowered(level: Level, in_cut: InCut) -> Level:
    return Level.NOTE if in_cut == "note" else Level(max(level - 1, Level.NOTE))


def save_finding(
    rule: str,
    level: Level,
    *,
    count: int,
    dimension: str = "",
    at: Block | None = None,
    measured: Fraction | None = None,
    limit: Fraction | None = None,
    also: Sequence[Block] = (),
    names: Iterable[tuple[str, int]] = (),
    subject: str = "",
) -> Finding:
    """Return a finding about a save, or one dimension of it, as a whole.

    Parameters
    ----------
    rule, level
        By which rule, and how grave it is.
    count
        How many things it is about.
    dimension, at, measured, limit, also, names
        See `Finding`.
    subject
        What tells it from others by the same rule in the same dimension.
    """
    return Finding(
        rule=rule,
        level=level,
        certain="yes",
        dimension=dimension,
        network=None,
        at=at,
        also=tuple(also),
        count=count,
        measured=measured,
        limit=limit,
        unit="",
        witness=None,
        fingerprint=fingerprint_of(rule, dimension, (), subject),
        names=tuple(names),
    )


def fingerprint_of(rule: str, dimension: str, places: Iterable[Block], subject: str = "") -> str:
    """Return the stable name of a finding.

    Parameters
    ----------
    rule, dimension
        Name of the rule; name of the dimension.
    places
        Positions of the witness, in any order; without one, the network's anchor; for a finding
        about a dimension or a save as a whole, none.
    subject
        What tells findings without a place apart, such as a block's name.

    >>> fingerprint_of("overload", "minecraft:overworld", [Block(3, 64, -20)])
    '12adc963d29d0685'
    """
    lines = [rule, dimension, *(f"{x},{y},{z}" for x, y, z in sorted(places))]
    if subject:
        lines.append(subject)
    digest = hashlib.sha256("\n".join(lines).encode("utf-8", "surrogatepass"))
    return digest.hexdigest()[:FINGERPRINT_DIGITS]
