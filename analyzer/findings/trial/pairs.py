"""The coupled pairs whose parts both have a recorded speed, and what the records say of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Port
from analyzer.couplings.couplings import Couplings, Kind
from analyzer.couplings.engage import engaged
from analyzer.findings.trial.claims import Claim, claims_of
from analyzer.findings.trial.trial import Tally
from analyzer.findings.trial.width import Reading, Span, ratio_span, simplest_between
from analyzer.parts.parts import Parts

_Ints: TypeAlias = npt.NDArray[np.int64]
#: Type, port, the other's type, its port, and the kind of coupling.
_Group: TypeAlias = tuple[str, str, str, str, Kind]


@dataclass(frozen=True, eq=False)
class Readings:
    """The recorded speed of each part.

    Parameters
    ----------
    of_part
        Index into `items` of each part, int64, shape (n,); -1 without a record.
    items
        The distinct recorded speeds.
    """

    of_part: _Ints
    items: tuple[Reading, ...]

    @property
    def turning(self) -> npt.NDArray[np.bool_]:
        """Which parts have a recorded speed that is not 0, bool, shape (n,)."""
        moves = np.array([reading.rpm != 0 for reading in self.items] + [False], bool)
        found: npt.NDArray[np.bool_] = moves[self.of_part]
        return found


def readings_of(parts: Parts) -> Readings:
    """Return the recorded speed of each part; a save without records gives none."""
    recorded = parts.recorded
    of_part = np.full(len(parts), -1, np.int64)
    distinct, number = unique_rows(recorded.stored, recorded.unit, recorded.tag)
    of_part[recorded.part] = number
    items = tuple(
        Reading(parts.numbers[stored], parts.numbers[unit], tag)
        for stored, unit, tag in distinct.tolist()
    )
    return Readings(of_part, items)


@dataclass(frozen=True)
class Observation:
    """Equal pairs.

    Parameters
    ----------
    claim
        What their ratio rests on, by number.
    ports
        Number of the pair of ports, by type.
    says
        The catalogue's ratio.
    low, high
        The least and greatest ratio with which the records agree.
    count
        How many pairs there are.
    """

    claim: int
    ports: int
    says: Fraction
    low: Fraction
    high: Fraction
    count: int

    def agrees(self, times: Fraction | int = 1) -> bool:
        """Tell whether the records agree with so many times the catalogue's ratio."""
        return self.low <= self.says * times <= self.high

    def over(self, ratio: Fraction) -> Span:
        """Return how many times a ratio the records allow, from the least to the greatest."""
        ends = (self.low / ratio, self.high / ratio)
        return min(ends), max(ends)

    @property
    def seen(self) -> Fraction:
        """The simplest ratio with which the records agree."""
        return simplest_between(self.low, self.high)


@dataclass(frozen=True)
class Pairs:
    """All that recorded pairs say; `ports` gives (type, port, type, port, kind) by number."""

    claims: tuple[Claim, ...]
    ports: tuple[tuple[int, int, int, int, int], ...]
    observations: tuple[Observation, ...]


def observe_pairs(parts: Parts, couplings: Couplings, readings: Readings) -> Pairs:
    """Compare each engaged coupling with the recorded speeds of its parts, where neither is 0."""
    turning = readings.turning
    here = engaged(couplings, parts.switch_states()).couplings
    rows = np.flatnonzero(here & turning[couplings.a] & turning[couplings.b])
    a, b = couplings.a[rows], couplings.b[rows]
    claims, claim = claims_of(parts, couplings, rows)
    ports, port = unique_rows(
        parts.type[a],
        couplings.port_a[rows],
        parts.type[b],
        couplings.port_b[rows],
        couplings.kind[rows],
    )
    distinct, number = unique_rows(
        claim, port, couplings.ratio[rows], readings.of_part[a], readings.of_part[b]
    )
    counts = np.bincount(number, minlength=len(distinct)).tolist()
    observations = []
    for (of_claim, of_port, ratio, one, two), count in zip(distinct.tolist(), counts, strict=True):
        low, high = ratio_span(readings.items[one], readings.items[two])
        says = couplings.ratios[ratio]
        observations.append(Observation(of_claim, of_port, says, low, high, count))
    named = [(row[0], row[1], row[2], row[3], row[4]) for row in ports.tolist()]
    return Pairs(claims, tuple(named), tuple(observations))


def tally_pairs(parts: Parts, pairs: Pairs) -> tuple[Tally, ...]:
    """Count the pairs by types, ports and kind of coupling, sorted."""
    grouped: dict[_Group, list[Observation]] = {}
    for observation in pairs.observations:
        group, turned = _group(parts, pairs.ports[observation.ports])
        seen = _turned(observation) if turned else observation
        grouped.setdefault(group, []).append(seen)
    return tuple(_tally(group, grouped[group]) for group in sorted(grouped))


def _group(parts: Parts, ports: tuple[int, int, int, int, int]) -> tuple[_Group, bool]:
    """Return the names of a pair of ports, the smaller first, and whether that swaps them."""
    types = parts.catalogues.types
    type_a, port_a, type_b, port_b, kind = ports
    one = (types[type_a].block, str(Port(port_a)))
    two = (types[type_b].block, str(Port(port_b)))
    return (*min(one, two), *max(one, two), Kind(kind)), one > two


def _turned(observation: Observation) -> Observation:
    return Observation(
        claim=observation.claim,
        ports=observation.ports,
        says=1 / observation.says,
        low=1 / observation.high,
        high=1 / observation.low,
        count=observation.count,
    )


def _tally(group: _Group, observations: list[Observation]) -> Tally:
    agreed = sign = ratio = 0
    said: Counter[Fraction] = Counter()
    seen: Counter[tuple[Fraction, Fraction]] = Counter()
    for one in observations:
        said[one.says] += one.count
        if one.agrees():
            agreed += one.count
        elif one.agrees(-1):
            sign += one.count
        else:
            ratio += one.count
            seen[one.seen, one.says] += one.count
    most = min(seen, key=lambda pair: (-seen[pair], pair), default=None)
    return Tally(
        *group,
        agreed=agreed,
        sign_differs=sign,
        ratio_differs=ratio,
        says=min(said, key=lambda says: (-said[says], says)) if most is None else most[1],
        seen=None if most is None else most[0],
    )


def iter_by_claim(pairs: Pairs) -> Iterator[tuple[Claim, list[Observation]]]:
    """Yield each claim with the observations that test it."""
    grouped: list[list[Observation]] = [[] for _ in pairs.claims]
    for observation in pairs.observations:
        grouped[observation.claim].append(observation)
    yield from zip(pairs.claims, grouped, strict=True)
