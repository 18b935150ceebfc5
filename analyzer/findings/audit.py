"""The audit: everything that was computed about one save, from the scan to the findings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analyzer.base.place import network_id
from analyzer.base.policy import Policy
from analyzer.couplings.couplings import Couplings
from analyzer.findings.findings import Findings
from analyzer.findings.ignores import Ignore, Ignored
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Scan
from analyzer.solution.solution import Solution


@dataclass(frozen=True, eq=False)
class Audit:
    """The frozen bundle that `audit_save` returns and reports are made of.

    Parameters
    ----------
    policy
        The user's decisions that were in force.
    scan, parts, couplings, networks, solution, findings
        The output of each stage; the catalogues are ``parts.catalogues``.
    selected
        Networks the user asked about, bool, one a network; findings about others are left out.
    ignored
        Findings that the user accepts; they are not among `findings`.
    lapsed
        What the user accepted up to a day that is past.
    taken_while_running
        Networks of which a chunk, or one that they point into unread, was written by another
        program while the scan ran: their parts may never have stood so at the same moment.
    """

    policy: Policy
    scan: Scan
    parts: Parts
    couplings: Couplings
    networks: Networks
    solution: Solution
    findings: Findings
    selected: npt.NDArray[np.bool_]
    ignored: tuple[Ignored, ...] = ()
    lapsed: tuple[Ignore, ...] = ()
    taken_while_running: frozenset[int] = frozenset()

    def network_id(self, network: int) -> str:
        """Return the name of a network."""
        anchor = int(self.networks.anchor[network])
        dimension = self.parts.dimensions[int(self.parts.dimension[anchor])]
        return network_id(dimension, self.parts.block_at(anchor))
