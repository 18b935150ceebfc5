"""Undriven machines: a network has machines and no mover that drives them."""

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

NAME: Final = "undriven-machines"


def find_undriven_machines(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each idle network with machines.

    A mover may lie beyond a cut.
    """
    idle = case.solution.state[case.networks.network] == State.IDLE
    machines = np.flatnonzero(case.machine & idle)
    for network, places in iter_by_network(case, machines):
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, machines[places]),
            count=len(places),
            in_cut="note",
        )
