"""Pairs of gears of a catalogue that can be put into a coupling to change the speed behind it."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from analyzer.catalogue.catalogue import Catalogues, Constant, PartType
from analyzer.findings.audit import Audit


@lru_cache(maxsize=64)
def gear_pairs(catalogues: Catalogues, fits: str) -> dict[Fraction, tuple[str, str]]:
    """Return the speed ratios of the pairs of gears of one class that mesh on parallel shafts.

    Gears are transmissions with a rim of a constant number of teeth and an end along their axis,
    without switch or governor. Two near rims mesh side by side, a far and a near one diagonally.

    Parameters
    ----------
    catalogues
        What parts there are.
    fits
        Class within which the ends of the gears couple.

    Returns
    -------
    dict
        Speed behind the pair per speed before it, above 0, and the names of the gear before and
        the gear behind: of several pairs of one ratio the first by name. Ascending; a class
        without gears has none.
    """
    gears = [type_ for type_ in catalogues.types if type_.fits == fits and _is_gear(type_)]
    found: dict[Fraction, tuple[str, str]] = {}
    for first in gears:
        for second in gears:
            if _mesh(first, second):
                found.setdefault(_teeth(first) / _teeth(second), (first.block, second.block))
    return dict(sorted(found.items()))


def pairs_between(audit: Audit, coupling: int) -> dict[Fraction, tuple[str, str]]:
    """Return the pairs of gears that can be put into a coupling: of the class of both its parts."""
    parts, couplings = audit.parts, audit.couplings
    types = parts.catalogues.types
    first, second = (
        types[int(parts.type[side[coupling]])].fits for side in (couplings.a, couplings.b)
    )
    return gear_pairs(parts.catalogues, first) if first == second else {}


def _is_gear(type_: PartType) -> bool:
    return (
        type_.role == "transmission"
        and type_.rim is not None
        and isinstance(type_.rim.teeth, Constant)
        and any(end.side < 2 for end in type_.ends)
        and type_.switch is None
        and type_.governor is None
    )


def _mesh(first: PartType, second: PartType) -> bool:
    one, other = first.rim, second.rim
    assert one is not None
    assert other is not None
    kinds = {one.kind, other.kind}
    placement = "beside" if kinds == {"near"} else "diagonal" if len(kinds) == 2 else None
    return placement in one.placements and placement in other.placements


def _teeth(type_: PartType) -> Fraction:
    assert type_.rim is not None
    assert isinstance(type_.rim.teeth, Constant)
    return type_.rim.teeth.value
