"""Find every coupling between parts, by array look-ups over sorted positions."""

from __future__ import annotations

from fractions import Fraction

from analyzer.base.ratio import tabulate
from analyzer.base.tables import Interner, frozen
from analyzer.couplings.batch import gather
from analyzer.couplings.couplings import Couplings
from analyzer.couplings.cuts import find_cuts
from analyzer.couplings.guards import guard, split_governed
from analyzer.couplings.links import find_links
from analyzer.couplings.neighbours import meshes, shaft_couplings
from analyzer.couplings.offsets import offset_couplings
from analyzer.couplings.ports import ports_of
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Coverage


def find_couplings(parts: Parts, coverage: Coverage) -> Couplings:
    """Find every coupling between the parts of a save, and what is broken or cut.

    Parameters
    ----------
    parts
        The parts; none gives no couplings.
    coverage
        What was looked at, for the cuts.

    Returns
    -------
    Couplings
        Each pair of ports that meet, once for each switch state.

    Notes
    -----
    Every pair of neighbours is looked up from one side alone: one binary search for each end that
    looks along a positive axis and for half of each rim's offsets.
    """
    ports = ports_of(parts)
    ratios: Interner[Fraction] = Interner()
    links = find_links(parts, ports, coverage, ratios)
    found = gather(
        [
            *shaft_couplings(parts, ports, ratios),
            *meshes(parts, ports, ratios),
            *offset_couplings(parts, ports, ratios),
            links.batch,
        ],
        ratios,
    )
    guarded, governed = split_governed(parts, guard(parts, found, ratios), ratios)
    rows = guarded.rows
    return Couplings(
        a=frozen(rows.a),
        b=frozen(rows.b),
        kind=frozen(rows.kind),
        port_a=frozen(rows.port_a),
        port_b=frozen(rows.port_b),
        ratio=frozen(rows.ratio),
        guard_a=frozen(guarded.guard_a),
        guard_b=frozen(guarded.guard_b),
        ratios=tabulate(ratios.items),
        governed=governed,
        cuts=find_cuts(parts, ports, coverage, links),
        broken=links.broken,
    )
