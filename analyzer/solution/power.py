"""Exact sums of power by network: power is torque times the magnitude of the speed in rpm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import unique_rows


def power_by_network(
    *,
    networks: int,
    network: npt.NDArray[np.int32],
    torque: npt.NDArray[np.int32],
    torques: Sequence[Fraction],
    speed: npt.NDArray[np.int32],
    speeds: Sequence[Fraction],
) -> tuple[npt.NDArray[np.int64], tuple[Fraction, ...]]:
    """Sum torque × |speed| exactly by network.

    Parameters
    ----------
    networks
        How many networks there are.
    network
        Network of each part that counts, shape (k,).
    torque, speed
        Numbers of its torque and of its speed (rpm), shape (k,), none negative.
    torques, speeds
        What the numbers stand for.

    Returns
    -------
    total, totals
        Number of each network's sum, shape (networks,), and the distinct sums, ascending. A
        network without a part that counts has the sum 0.
    """
    pairs, pair = unique_rows(torque, speed)
    amounts = [torques[row[0]] * abs(speeds[row[1]]) for row in pairs.tolist()]
    unit = math.lcm(*(amount.denominator for amount in amounts))
    whole = [amount.numerator * (unit // amount.denominator) for amount in amounts]
    total, sums = _sum_whole(networks, network, pair, whole)
    return total, tuple(Fraction(value, unit) for value in sums)


def _sum_whole(
    groups: int,
    group: npt.NDArray[np.int32],
    term: npt.NDArray[np.int64],
    terms: list[int],
) -> tuple[npt.NDArray[np.int64], list[int]]:
    """Sum integers by group; return the number of each group's sum and the distinct sums."""
    if max(terms, default=0) * len(group) < 2**63:
        counted = np.zeros(groups, np.int64)
        np.add.at(counted, group, np.array(terms, np.int64)[term])
        # Few amounts are many networks' own: to tell them apart rarely takes a sort.
        values, number = unique_rows(counted)
        return number, values[:, 0].tolist()
    sums = [0] * groups
    rows, row = unique_rows(group, term)
    for (place, which), times in zip(rows.tolist(), np.bincount(row).tolist(), strict=True):
        sums[place] += terms[which] * times
    distinct = sorted(set(sums))
    place_of = {value: index for index, value in enumerate(distinct)}
    return np.array([place_of[value] for value in sums], np.int64), distinct
