"""Sums of power on either side of what 64 bits hold."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from analyzer.solution.power import power_by_network


def summed(networks, rows):
    """Sum rows of (network, torque, speed)."""
    values = sorted({Fraction(value) for _, *pair in rows for value in pair})
    total, totals = power_by_network(
        networks=networks,
        network=np.array([network for network, _, _ in rows], np.int32),
        torque=np.array([values.index(torque) for _, torque, _ in rows], np.int32),
        torques=values,
        speed=np.array([values.index(speed) for _, _, speed in rows], np.int32),
        speeds=values,
    )
    assert list(totals) == sorted(set(totals))
    return [totals[index] for index in total.tolist()]


@pytest.mark.parametrize("amount", [2**61, 2**62 - 1, 2**62, 2**62 + 1, 2**63, 2**64, 2**70])
def test_sums_about_2_to_the_63_are_exact(amount):
    rows = [(0, amount, 1), (1, amount, -1), (0, amount, 1), (1, 3, 1)]
    assert summed(3, rows) == [2 * amount, amount + 3, 0]


@pytest.mark.parametrize("amount", [2**61, 2**62 - 1, 2**62, 2**62 + 1, 3 * 2**61])
def test_two_amounts_that_together_pass_2_to_the_63_are_summed_exactly(amount):
    assert summed(1, [(0, amount, 1), (0, amount, 1)]) == [2 * amount]


def test_fractions_are_summed_over_their_common_denominator():
    rows = [(0, Fraction(1, 3), 1), (0, Fraction(1, 4), 2), (1, Fraction(5, 6), Fraction(-1, 7))]
    assert summed(2, rows) == [Fraction(5, 6), Fraction(5, 42)]


@pytest.mark.parametrize("networks", [0, 1, 3])
def test_networks_in_which_nothing_counts_have_the_sum_0(networks):
    assert summed(networks, []) == [0] * networks
