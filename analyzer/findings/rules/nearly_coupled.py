"""Nearly coupled: ports that almost meet, the most common slip of a builder after overload."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
from analyzer.couplings.ports import ports_of
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding
from analyzer.findings.near import Pairs, blind_ends, short_rims

NAME: Final = "nearly-coupled"


def find_nearly_coupled(case: Case, level: Level) -> Iterator[Finding]:
    """Yield, if the user wants hints, one finding for each network that nearly joins another.

    An end that meets a face without one is told by the network of the end; a pair of rims one cell
    short by that of its smaller part. Parts of one network are joined some other way already. It
    names how many ends and rims there are and counts both, ends first.
    """
    if not case.policy.hints:
        return
    ports = ports_of(case.parts)
    ends = _between_networks(case, blind_ends(ports))
    one, other = short_rims(case.parts, ports)
    rims = _between_networks(case, (np.minimum(one, other), np.maximum(one, other)))
    parts = np.concatenate([ends, rims])
    is_rim = np.repeat([0, 1], [len(ends), len(rims)])
    for network, places in iter_by_network(case, parts, is_rim):
        kinds = {"ends": int((is_rim[places] == 0).sum()), "rims": int((is_rim[places] == 1).sum())}
        _, first = np.unique(parts[places], return_index=True)
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, parts[places[np.sort(first)]]),
            count=len(places),
            names=[(name, count) for name, count in kinds.items() if count],
        )


def _between_networks(case: Case, pairs: Pairs) -> npt.NDArray[np.int64]:
    """Return the first part of each distinct pair whose parts are of different networks."""
    distinct, _ = unique_rows(*pairs)
    one, other = distinct.T
    networks = case.networks.network
    apart: npt.NDArray[np.int64] = one[networks[one] != networks[other]]
    return apart
