"""The limits of warnings in each network: the user's, else those of the catalogues of its parts."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.findings.case import Case

#: What makes a network heavy, in the order in which it is told.
HEAVY: Final = ("parts", "chunks", "switches")


def thin_shares(case: Case) -> tuple[npt.NDArray[np.int64], tuple[Fraction, ...]]:
    """Return the share of capacity below which headroom is thin, by network.

    Returns
    -------
    share, shares
        Number of each network's share, shape (networks,), and the distinct shares, ascending. Of
        several catalogues that a network's active movers come from, the greatest share counts; a
        network without an active mover has the least of all.
    """
    of_all = case.policy.thin_headroom
    sources = case.parts.catalogues.sources
    of_source = [source.warnings.thin_headroom if of_all is None else of_all for source in sources]
    shares = tuple(sorted(set(of_source)))
    share = np.zeros(len(case.networks), np.int64)
    for number, value in enumerate(of_source):
        here = _networks_with(case, number, case.solution.active)
        np.maximum(share, shares.index(value), out=share, where=here)
    return share, shares


def heavy_limits(case: Case) -> npt.NDArray[np.int64]:
    """Return how many parts, chunks and switches each network may have, shape (networks, 3).

    Of several catalogues that a network's parts come from, the least limit counts.
    """
    policy = case.policy
    of_all = (policy.heavy_parts, policy.heavy_chunks, policy.heavy_switches)
    limits = np.full((len(case.networks), len(HEAVY)), np.iinfo(np.int64).max)
    for number, source in enumerate(case.parts.catalogues.sources):
        here = _networks_with(case, number, np.ones(len(case.parts), bool))
        warnings = source.warnings
        of_source = (warnings.heavy_parts, warnings.heavy_chunks, warnings.heavy_switches)
        for column, (value, own) in enumerate(zip(of_all, of_source, strict=True)):
            limit = own if value is None else value
            np.minimum(limits[:, column], limit, out=limits[:, column], where=here)
    return limits


def _networks_with(
    case: Case, source: int, counted: npt.NDArray[np.bool_]
) -> npt.NDArray[np.bool_]:
    """Tell which networks have a part from a catalogue, among the parts that count."""
    of_type = np.array([kind.source == source for kind in case.parts.catalogues.types], bool)
    found = np.zeros(len(case.networks), bool)
    found[case.networks.network[counted & of_type[case.parts.type]]] = True
    return found
