"""Which couplings are engaged in given states of the switches."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analyzer.couplings.couplings import Couplings


@dataclass(frozen=True, eq=False)
class Engaged:
    """Masks of the engaged rows: bool, one a coupling and one a governed coupling."""

    couplings: npt.NDArray[np.bool_]
    governed: npt.NDArray[np.bool_]


def engaged(couplings: Couplings, states: npt.NDArray[np.int8]) -> Engaged:
    """Tell which couplings are engaged.

    Parameters
    ----------
    couplings
        Couplings of every switch state.
    states
        State of each part's switch, int8, shape (n,): 1 on, 0 off, -1 no switch
        (`Parts.switch_states` gives those of the save).

    Returns
    -------
    Engaged
        A coupling is engaged where both parts' states allow it.
    """
    governed = couplings.governed
    return Engaged(
        couplings=_allows(couplings.guard_a, states[couplings.a])
        & _allows(couplings.guard_b, states[couplings.b]),
        governed=_allows(governed.guard_part, states[governed.part])
        & _allows(governed.guard_other, states[governed.other]),
    )


def _allows(guard: npt.NDArray[np.int8], state: npt.NDArray[np.int8]) -> npt.NDArray[np.bool_]:
    allows: npt.NDArray[np.bool_] = (guard < 0) | (guard == state)
    return allows
