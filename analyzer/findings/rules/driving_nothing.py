"""Driving nothing: a network has movers that turn and no machine."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding
from analyzer.solution.solution import State

NAME: Final = "driving-nothing"


def find_driving_nothing(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each turning network without a machine, at its active movers.

    A machine may lie beyond a cut.
    """
    served = np.zeros(len(case.networks), bool)
    served[case.networks.network[case.machine]] = True
    alone = (case.solution.state == State.TURNING) & ~served
    movers = np.flatnonzero(case.solution.active & alone[case.networks.network])
    for network, places in iter_by_network(case, movers):
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, movers[places]),
            count=len(places),
            in_cut="note",
        )
