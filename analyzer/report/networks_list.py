"""The networks of an audit in the order asked for, each with its distance from a position."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal, TypeAlias

import numpy as np

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.report.network_rows import NetworkRow, iter_network_rows
from analyzer.solution.solution import State

#: What networks are listed by.
Order: TypeAlias = Literal["size", "distance", "state"]

#: States in the order in which they want attention.
_URGENCY: Final = (State.CONFLICTING, State.OVERLOADED, State.IDLE, State.TURNING)


@dataclass(frozen=True)
class Near:
    """How near a network comes to a position.

    Parameters
    ----------
    at
        Its part nearest to the position; of several, the smallest by position.
    squared
        Square of the distance in a straight line, in blocks.
    """

    at: Block
    squared: int

    @property
    def distance_blocks(self) -> float:
        """The distance in a straight line, in blocks."""
        return math.sqrt(self.squared)


@dataclass(frozen=True)
class ListedNetwork:
    """One network of a list; `near` is None where no position was asked about."""

    row: NetworkRow
    near: Near | None


@dataclass(frozen=True)
class DimensionList:
    """The networks of one dimension in the order asked for, and how many were left out."""

    dimension: str
    networks: tuple[ListedNetwork, ...]
    left_out: int


def list_networks(
    audit: Audit,
    *,
    order: Order,
    near: Block | None = None,
    states: Collection[State] = (),
    most: int | None = None,
) -> tuple[DimensionList, ...]:
    """Return the networks that were asked about, by dimension.

    Parameters
    ----------
    audit
        What to list the networks of.
    order
        The largest first, the nearest first, or by state: conflicting, overloaded, idle, turning,
        and the largest of each first. Equal ones follow their anchors.
    near
        A position, in blocks, taken in every dimension; needed for the order by distance.
    states
        States to list; none means all.
    most
        Most networks of a dimension; None means all.

    Returns
    -------
    tuple
        One entry for each dimension with such a network, by name.
    """
    rows = [row for row in iter_network_rows(audit) if not states or row.state in states]
    lists = []
    for dimension, group in groupby(rows, key=lambda row: row.dimension):
        listed = sorted(
            (ListedNetwork(row, _nearest(audit, row, near)) for row in group),
            key=lambda one: _key(one, order),
        )
        shown = tuple(listed[:most])
        lists.append(DimensionList(dimension, shown, len(listed) - len(shown)))
    return tuple(lists)


def nearest_of(networks: Sequence[ListedNetwork]) -> ListedNetwork | None:
    """Return the network nearest to the position asked about; None where none was."""
    measured = [one for one in networks if one.near is not None]
    return min(measured, key=lambda one: _key(one, "distance"), default=None)


def _key(one: ListedNetwork, order: Order) -> tuple[int, int, Block]:
    match order:
        case "size":
            first = 0
        case "distance":
            assert one.near is not None, "an order by distance needs a position"
            first = one.near.squared
        case "state":
            first = _URGENCY.index(one.row.state)
    return (first, -one.row.parts, one.row.anchor)


def _nearest(audit: Audit, row: NetworkRow, near: Block | None) -> Near | None:
    if near is None:
        return None
    members = audit.networks.members(row.number)
    # Python's integers, since squares of a hostile save's positions pass 63 bits.
    steps = np.abs(audit.parts.xyz[members].astype(np.int64) - np.array(near))
    rough = (steps.astype(np.float64) ** 2).sum(axis=1)
    part = int(np.argmin(rough))
    squared = sum(step * step for step in steps[part].tolist())
    return Near(at=audit.parts.block_at(int(members[part])), squared=squared)
