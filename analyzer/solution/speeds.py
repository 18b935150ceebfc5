"""Exact speeds of parts, and the zones whose speeds spread too far to be written."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import Interner, unique_rows
from analyzer.networks.networks import Networks

#: Greatest allowed quotient of two speeds of one zone, as a power of two.
MAX_SPREAD_BITS: Final = 256
#: Logarithms are trusted to this many bits; nearer to the limit the quotient is compared exactly.
_LOG_ERROR_BITS: Final = 1e-3


def zones_out_of_range(networks: Networks) -> npt.NDArray[np.bool_]:
    """Tell which zones have two potentials whose quotient exceeds 2^256.

    Returns
    -------
    out_of_range
        Bool, one a zone. Potentials of a zone that contradicts itself mean nothing, and neither
        does its answer.
    """
    zones = len(networks.root)
    of_potential = networks.potentials.log2()
    if np.ptp(np.append(of_potential, 0)) < MAX_SPREAD_BITS - _LOG_ERROR_BITS:
        return np.zeros(zones, bool)
    bits = of_potential[networks.potential]
    high = np.zeros(zones)
    low = np.zeros(zones)
    np.maximum.at(high, networks.zone, bits)
    np.minimum.at(low, networks.zone, bits)
    spread = high - low
    out_of_range = spread > MAX_SPREAD_BITS
    near = np.flatnonzero(np.abs(spread - MAX_SPREAD_BITS) < _LOG_ERROR_BITS)
    for zone in near.tolist():
        potentials = {
            abs(networks.potentials[index])
            for index in np.unique(networks.potential[networks.zone == zone]).tolist()
        }
        out_of_range[zone] = max(potentials) > min(potentials) * 2**MAX_SPREAD_BITS
    return out_of_range


def part_speeds(
    networks: Networks,
    *,
    asked: npt.NDArray[np.int64],
    asks: tuple[Fraction, ...],
) -> tuple[npt.NDArray[np.int32], tuple[Fraction, ...]]:
    """Multiply each zone's root speed with its parts' potentials.

    Parameters
    ----------
    networks
        Zones and potentials.
    asked
        Number of the root's speed in `asks`, shape (z,); -1 for zones without a speed.
    asks
        Speeds of roots in rpm.

    Returns
    -------
    speed, speeds
        Number of each part's speed, int32, shape (n,), -1 in zones without a speed; and the
        distinct speeds in rpm, ascending.
    """
    root_speed = asked[networks.zone]
    turning = np.flatnonzero(root_speed >= 0)
    distinct, number = unique_rows(root_speed[turning], networks.potential[turning])
    # A zone at rest is not multiplied: its potentials may be out of range.
    values = [
        asks[ask] * networks.potentials[potential] if asks[ask] else Fraction(0)
        for ask, potential in distinct.tolist()
    ]
    speeds: Interner[Fraction] = Interner(sorted(set(values)))
    speed = np.full(len(networks.zone), -1, np.int32)
    speed[turning] = np.array([speeds(value) for value in values], np.int64)[number]
    return speed, speeds.items
