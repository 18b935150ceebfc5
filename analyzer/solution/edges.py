"""Governors as edges between zones: what each asks of the root of the zone that it drives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import Couplings
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts


@dataclass(frozen=True)
class Edge:
    """One engaged governor between two zones.

    Parameters
    ----------
    governor
        Row of the governor.
    driving, driven
        Zone of the governor, and zone at its port.
    root_rpm
        Speed the driven zone's root needs, in rpm; with its magnitude alone meaning something
        where the driven zone is out of range.
    follow_sign
        None for a set speed with a sign of its own; else +1 or -1: sign of `root_rpm` per sign
        of the driving zone's root.
    """

    governor: int
    driving: int
    driven: int
    root_rpm: Fraction
    follow_sign: int | None

    def asks(self, root_signs: Mapping[int, int]) -> Fraction | None:
        """Return what the edge asks of the driven root, or None while a sign is not known."""
        if self.follow_sign is None or not self.root_rpm:
            return self.root_rpm
        sign = root_signs.get(self.driving)
        return None if sign is None else abs(self.root_rpm) * self.follow_sign * sign


def find_edges(
    parts: Parts, couplings: Couplings, networks: Networks, in_range: npt.NDArray[np.bool_]
) -> Iterator[Edge]:
    """Yield the engaged governors whose set speed can be used, sorted by governor.

    Parameters
    ----------
    parts, couplings, networks
        The mechanism.
    in_range
        Zones whose speeds can be written, bool, shape (z,).
    """
    table = couplings.governed
    rows = networks.governors
    for row, driving, driven in zip(
        rows.governed.tolist(), rows.driving.tolist(), rows.driven.tolist(), strict=True
    ):
        governor, other = int(table.part[row]), int(table.other[row])
        set_rpm = parts.number(governor, Field.SET_RPM)
        entry = parts.catalogues.types[int(parts.type[governor])].governor
        if set_rpm is None or entry is None:
            continue
        port = int(table.port[row])
        factor = parts.number(governor, Field(port)) if port < 6 else Fraction(1)
        assert factor is not None
        ratio = couplings.ratios[int(table.ratio[row])]
        index = int(networks.potential[other])
        sign = int(networks.potentials.sign[index])
        per_root = networks.potentials[index] if in_range[driven] else Fraction(sign)
        root_rpm = set_rpm / abs(factor) * ratio / per_root
        follow = None
        if entry.follows:
            own = int(networks.potentials.sign[int(networks.potential[governor])])
            follow = own * (1 if ratio > 0 else -1) * sign
        yield Edge(governor, driving, driven, root_rpm, follow)
