"""Exact potentials: the speed of each part per speed of its zone's root."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.ratio import RatioTable
from analyzer.base.tables import frozen, unique_rows
from analyzer.couplings.couplings import Couplings
from analyzer.networks.components import depth_first
from analyzer.networks.forest import Forest
from analyzer.networks.small_graphs import FEW_EDGES

#: Parts of a chain, on average, that are enough not to search for longer ones.
_LONG: Final = 8
#: Whether each product turns backwards, and its exponents.
_Products: TypeAlias = tuple[npt.NDArray[np.bool_], npt.NDArray[np.int32]]


def find_potentials(
    couplings: Couplings, forest: Forest, order: npt.NDArray[np.int32]
) -> tuple[npt.NDArray[np.int32], RatioTable]:
    """Multiply the ratios along the spanning forest from each root to each part.

    Parameters
    ----------
    couplings
        The couplings and their ratios.
    forest
        The trees.
    order
        Every part once, int32, those of a network together; the potentials do not depend on it.

    Returns
    -------
    potential, potentials
        Number of each part's potential, int32, shape (n,), and the distinct potentials. No parts
        give an empty array and an empty table.

    Notes
    -----
    Most parts come right after the part that turns them, in the order given or else in depth-first
    order: along such a chain the products are running sums of exponents. What comes before each
    chain is then found by pointer doubling, in about log2(depth) rounds of array work over the
    chains (J. C. Wyllie, *The complexity of parallel computations*, 1979; cited from memory).

    Raises
    ------
    OverflowError
        Where an exponent could leave 32 bits; some hundred million parts in one line.
    """
    ratios, parent = couplings.ratios, forest.parent
    steepest = int(np.abs(ratios.exponents).max(initial=0))
    if steepest * (len(parent) + 1) >= 2**31:
        raise OverflowError("a drive's ratios have more factors than can be counted")
    order, first = _long_chains(parent, order)
    turned, exponents = _steps(couplings, forest, order)
    turned = np.logical_xor.accumulate(turned)
    exponents = np.cumsum(exponents, axis=0, dtype=np.int32)
    chain, start = np.cumsum(first, dtype=np.int32) - 1, np.flatnonzero(first)
    before = _before_chains(parent, order, chain, start, (turned, exponents))
    turned ^= before[0][chain]
    exponents += before[1][chain]
    rows, number = unique_rows(turned.view(np.int8), *exponents.T)
    potential = np.empty(len(order), np.int32)
    potential[order] = number
    return potential, RatioTable(
        basis=ratios.basis,
        sign=frozen((1 - 2 * rows[:, 0]).astype(np.int8)),
        exponents=frozen(rows[:, 1:].astype(np.int32)),
    )


def _long_chains(
    parent: npt.NDArray[np.int32], order: npt.NDArray[np.int32]
) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.bool_]]:
    """Return an order in which chains are long, and which parts in that order begin one.

    Builds mostly go along an axis, so that the order given will do. A search costs more, above all
    where it leaps to and fro in memory.
    """
    first = _begins(parent, order)
    if len(order) > FEW_EDGES and np.count_nonzero(first) > len(order) // _LONG:
        order = depth_first(parent)
        first = _begins(parent, order)
    return order, first


def _begins(parent: npt.NDArray[np.int32], order: npt.NDArray[np.int32]) -> npt.NDArray[np.bool_]:
    """Tell which parts do not come right after their parent."""
    first = np.ones(len(order), bool)
    np.not_equal(parent[order[1:]], order[:-1], out=first[1:])
    return first


def _steps(couplings: Couplings, forest: Forest, order: npt.NDArray[np.int32]) -> _Products:
    """Return the ratio from each part's parent to it, in a given order; 1 for roots."""
    ratios = couplings.ratios
    child = np.flatnonzero(forest.parent >= 0)
    coupling = forest.coupling[child]
    # A coupling gives b per a: walked from b to a, its exponents change sign.
    backwards = couplings.a[coupling] != forest.parent[child]
    step = np.full(len(order), 2 * len(ratios), np.int32)
    step[child] = 2 * couplings.ratio[coupling] + backwards
    step = step[order]
    turns = np.append(np.repeat(ratios.sign < 0, 2), False)
    exponents = np.zeros((2 * len(ratios) + 1, len(ratios.basis)), np.int32)
    exponents[:-1:2], exponents[1::2] = ratios.exponents, -ratios.exponents
    return turns[step], exponents[step]


def _before_chains(
    parent: npt.NDArray[np.int32],
    order: npt.NDArray[np.int32],
    chain: npt.NDArray[np.int32],
    start: npt.NDArray[np.int64],
    running: _Products,
) -> _Products:
    """Return by what the running products of each chain are to be multiplied.

    That is the potential of the part that turns its first one, per running product of what lies
    right before it in the order. An exponent may leave 32 bits on the way; it wraps and comes back.
    """
    turned, exponents = (
        np.concatenate([np.zeros_like(column[:1]), column])[start] for column in running
    )
    place = np.empty(len(order), np.int32)
    place[order] = np.arange(len(order), dtype=np.int32)
    above = parent[order[start]]
    child = np.flatnonzero(above >= 0)
    turning = place[above[child]]
    turned[child] ^= running[0][turning]
    exponents *= -1
    exponents[child] += running[1][turning]
    ahead = np.full(len(start), -1, np.int32)
    ahead[child] = before = chain[turning]
    while len(child):
        # Each chain now holds the product from `ahead` (exclusive) down to itself.
        if exponents.shape[1]:
            exponents[child] += exponents[before]
        turned[child] ^= turned[before]
        before = ahead[before]
        ahead[child] = before
        deeper = before >= 0
        child, before = child[deeper], before[deeper]
    return turned, exponents


def contradicts(
    couplings: Couplings,
    chosen: npt.NDArray[np.int64],
    potential: npt.NDArray[np.int32],
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
