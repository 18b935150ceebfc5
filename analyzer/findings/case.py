"""What a rule judges: every stage's output and the user's decisions, with a few shared views."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Policy
from analyzer.couplings.couplings import Couplings
from analyzer.couplings.engage import engaged
from analyzer.findings.graph import ByZone
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Scan
from analyzer.solution.solution import Solution, State

# Most saves record no speeds.
if TYPE_CHECKING:
    from analyzer.findings.trial.trial import Trial


@dataclass(frozen=True, eq=False)
class Case:
    """All that is known about a save when it is judged.

    Parameters
    ----------
    scan, parts, couplings, networks, solution, policy
        The output of each stage, and the user's decisions.
    selected
        Networks the user asked about, bool, one a network; rules are silent about others.
    """

    scan: Scan
    parts: Parts
    couplings: Couplings
    networks: Networks
    solution: Solution
    policy: Policy
    selected: npt.NDArray[np.bool_]

    @cached_property
    def couplings_by_zone(self) -> ByZone:
        """The engaged couplings, grouped by zone."""
        mask = engaged(self.couplings, self.parts.switch_states())
        return ByZone.of(self.couplings, self.networks, np.flatnonzero(mask.couplings))

    @cached_property
    def disagreeing_by_zone(self) -> ByZone:
        """The couplings that contradict the potentials, grouped by zone."""
        return ByZone.of(self.couplings, self.networks, self.networks.disagreeing)

    @cached_property
    def trial(self) -> Trial:
        """What the recorded speeds say about the catalogues."""
        from analyzer.findings.trial.hold import hold_trial

        return hold_trial(self.parts, self.couplings, self.networks, self.solution)

    @cached_property
    def zone_network(self) -> npt.NDArray[np.int32]:
        """Network of each zone, int32."""
        return self.networks.network[self.networks.root]

    @cached_property
    def machine(self) -> npt.NDArray[np.bool_]:
        """Which parts are machines, bool, shape (n,)."""
        of_type = np.array([kind.role == "machine" for kind in self.parts.catalogues.types], bool)
        return of_type[self.parts.type]

    def selected_in(self, state: State) -> list[int]:
        """Return the selected networks in a state, ascending."""
        here = self.selected & (self.solution.state == state)
        found: list[int] = np.flatnonzero(here).tolist()
        return found

    def dimension_of(self, network: int) -> str:
        """Return the name of the dimension that a network lies in."""
        return self.parts.dimensions[int(self.parts.dimension[self.networks.anchor[network]])]
