"""Exact potentials: the speed of each part per speed of its zone's root."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analyzer.base.ratio import RatioTable
from analyzer.base.tables import frozen, unique_rows
from analyzer.couplings.couplings import Couplings


def find_potentials(
    couplings: Couplings,
    parent: npt.NDArray[np.int64],
    parent_coupling: npt.NDArray[np.int64],
) -> tuple[npt.NDArray[np.int64], RatioTable]:
    """Multiply the ratios along the spanning forest from each root to each part.

    Parameters
    ----------
    couplings
        The couplings and their ratios.
    parent, parent_coupling
        The forest, shape (n,); -1 for roots.

    Returns
    -------
    potential, potentials
        Number of each part's potential, shape (n,), and the distinct potentials. No parts give an
        empty array and an empty table.

    Notes
    -----
    Pointer doubling: about log2(depth) rounds of array work (J. C. Wyllie, *The complexity of
    parallel computations*, 1979; cited from memory).

    Raises
    ------
    OverflowError
        Where an exponent could leave 32 bits; some hundred million parts in one line.
    """
    ratios = couplings.ratios
    steepest = int(np.abs(ratios.exponents).max(initial=0))
    if steepest * (len(parent) + 1) >= 2**31:
        raise OverflowError("a drive's ratios have more factors than can be counted")
    child = np.flatnonzero(parent >= 0)
    ratio = couplings.ratio[parent_coupling[child]]
    # A coupling gives b per a: walked from b to a, its exponents change sign.
    forwards = np.where(couplings.a[parent_coupling[child]] == parent[child], 1, -1)
    exponents = np.zeros((len(parent), len(ratios.basis)), np.int32)
    exponents[child] = ratios.exponents[ratio] * forwards[:, None]
    turned = np.zeros(len(parent), bool)
    turned[child] = ratios.sign[ratio] < 0
    ahead = parent.copy()
    before = parent[child]
    while len(child):
        # Each node now holds the product from `ahead` (exclusive) down to itself.
        if len(ratios.basis):
            exponents[child] += exponents[before]
        turned[child] ^= turned[before]
        before = ahead[before]
        ahead[child] = before
        deeper = before >= 0
        child, before = child[deeper], before[deeper]
    rows, potential = unique_rows(turned.view(np.int8), *exponents.T)
    return potential, RatioTable(
        basis=ratios.basis,
        sign=frozen((1 - 2 * rows[:, 0]).astype(np.int8)),
        exponents=frozen(rows[:, 1:].astype(np.int32)),
    )


def contradicts(
    couplings: Couplings,
    chosen: npt.NDArray[np.int64],
    potential: npt.NDArray[np.int64],
    potentials: RatioTable,
) -> npt.NDArray[np.bool_]:
    """Tell which of the chosen couplings contradict the potentials of their two parts.

    Returns
    -------
    clash
        Bool, one a chosen coupling: exactly, potential of b differs from potential of a × ratio.
    """
    ratio = couplings.ratio[chosen]
    of_a, of_b = potential[couplings.a[chosen]], potential[couplings.b[chosen]]
    sign = potentials.sign[of_a] * couplings.ratios.sign[ratio] != potentials.sign[of_b]
    size = potentials.exponents[of_a] + couplings.ratios.exponents[ratio]
    clash: npt.NDArray[np.bool_] = sign | (size != potentials.exponents[of_b]).any(axis=1)
    return clash
