"""Couplings by belts and chains, as parts store their partners."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import Interner, frozen, unique_rows
from analyzer.catalogue.catalogue import Field, Port
from analyzer.couplings.batch import Batch
from analyzer.couplings.couplings import Break, BrokenLinks, Kind
from analyzer.couplings.ports import Ports
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import LOOKED_AT, Coverage


@dataclass(frozen=True, eq=False)
class FoundLinks:
    """Links that couple, links that are broken, and (part, position) of links into the unread."""

    batch: Batch
    broken: BrokenLinks
    unread_part: npt.NDArray[np.int64]
    unread_towards: npt.NDArray[np.int64]


def find_links(
    parts: Parts, ports: Ports, coverage: Coverage, ratios: Interner[Fraction]
) -> FoundLinks:
    """Follow every stored partner: a coupling, a broken link, or a chunk not looked at.

    A link whose pulley's diameter cannot be used couples nothing and is not called broken: its
    number is reported as unusable.
    """
    part = parts.links.part.astype(np.int64)
    towards = parts.links.towards
    partner = _partner(parts, ports, part, towards)
    seen = (partner >= 0) | _looked_at(parts, coverage, part, towards)
    has_link = np.array([entry.link is not None for entry in parts.catalogues.types], bool)
    links = has_link[parts.type[partner]] & (partner >= 0)
    parallel = ports.axis[part] == ports.axis[partner]
    reason = np.select(
        [partner == part, partner < 0, ~links, ~parallel],
        [Break.ITSELF, Break.MISSING, Break.NO_LINK, Break.NOT_PARALLEL],
        default=-1,
    )
    broken = np.flatnonzero(seen & (reason >= 0))
    whole = np.flatnonzero(seen & (reason < 0))
    return FoundLinks(
        batch=_couple(parts, ratios, a=part[whole], b=partner[whole]),
        broken=BrokenLinks(
            part=frozen(part[broken].astype(np.int32)),
            towards=frozen(towards[broken]),
            reason=frozen(reason[broken].astype(np.int8)),
        ),
        unread_part=part[~seen],
        unread_towards=towards[~seen],
    )


def _partner(
    parts: Parts, ports: Ports, part: npt.NDArray[np.int64], towards: npt.NDArray[np.int64]
) -> npt.NDArray[np.int64]:
    """Return the part at each position, -1 where there is none."""
    partner = np.full(len(part), -1, np.int64)
    asked, found = ports.sites.blocks_at(parts.dimension[part], towards)
    partner[asked] = found
    return partner


def _looked_at(
    parts: Parts,
    coverage: Coverage,
    part: npt.NDArray[np.int64],
    towards: npt.NDArray[np.int64],
) -> npt.NDArray[np.bool_]:
    status = coverage.status_of(
        dimension=parts.dimension[part], cx=towards[:, 0] >> 4, cz=towards[:, 2] >> 4
    )
    return np.isin(status, LOOKED_AT)


def _couple(
    parts: Parts,
    ratios: Interner[Fraction],
    *,
    a: npt.NDArray[np.int64],
    b: npt.NDArray[np.int64],
) -> Batch:
    """Join each storing part a with its partner b: equal belt speeds, a crossed belt reverses."""
    diameter = parts.column(Field.DIAMETER)
    usable = (diameter[a] >= 0) & (diameter[b] >= 0)
    a, b = a[usable], b[usable]
    types = parts.catalogues.types
    crossed = np.array([entry.link is not None and entry.link.crossed for entry in types], bool)
    distinct, number = unique_rows(diameter[a], diameter[b], crossed[parts.type[a]])
    of_row = [
        ratios((-1 if reverses else 1) * parts.numbers[of_a] / parts.numbers[of_b])
        for of_a, of_b, reverses in distinct.tolist()
    ]
    port = np.full(len(a), Port.LINK, np.int8)
    return Batch(a, b, Kind.LINK, port, port, np.array(of_row, np.int32)[number])
