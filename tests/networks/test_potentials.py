"""How many factors a drive's ratios may have before they could not be counted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analyzer.base.ratio import RatioTable
from analyzer.networks.group import group_networks
from tests.support.mechanism import SHAFT, couplings_table, parts_table


@pytest.mark.parametrize(("parts", "exponent"), [(1, 2**30), (1, -(2**30)), (3, 2**29)])
def test_exponents_that_could_leave_32_bits_are_refused(parts, exponent):
    with pytest.raises(OverflowError):
        _grouped(parts, exponent)


@pytest.mark.parametrize(("parts", "exponent"), [(1, 2**30 - 1), (2, 2**29), (0, 2**30)])
def test_exponents_that_cannot_leave_them_are_taken(parts, exponent):
    assert len(_grouped(parts, exponent)) == parts


def _grouped(parts, exponent):
    steep = RatioTable((2,), np.array([1], np.int8), np.array([[exponent]], np.int32))
    table = replace(couplings_table([]), ratios=steep)
    return group_networks(parts_table([SHAFT] * parts), table)
