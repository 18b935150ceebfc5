"""Which networks of a save have power to spare, and how best to spend it in each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from analyzer.advice.spare.spare import Spare, Spending, Unspent
from analyzer.advice.spare.spend import spend_power
from analyzer.base.errors import UsageError
from analyzer.base.place import network_id
from analyzer.findings.audit import Audit
from analyzer.solution.solution import State

#: Most networks that are looked into where none is named, those with most headroom first.
MOST_NETWORKS: Final = 12


@dataclass(frozen=True)
class SparePower:
    """How best to spend the headroom of some networks.

    Parameters
    ----------
    spending
        What was asked.
    networks
        What was found: of the one network asked for, or of those with most headroom.
    left_out
        How many more networks have headroom and machines, and were not looked into.
    """

    spending: Spending
    networks: tuple[Spare | Unspent, ...]
    left_out: int = 0


def spare_power(audit: Audit, spending: Spending, network: int | None = None) -> SparePower:
    """Tell how best to spend headroom.

    Parameters
    ----------
    audit
        The audit of a save.
    spending
        What is made greatest, and how.
    network
        The network's number; None for those that turn with the most headroom.
    """
    if network is not None:
        return SparePower(spending, (spend_power(audit, network, spending),))
    turning = _with_headroom(audit)
    found = [spend_power(audit, one, spending) for one in turning[:MOST_NETWORKS]]
    told = tuple(one for one in found if isinstance(one, Spare) or spending.added)
    return SparePower(spending, told, max(0, len(turning) - MOST_NETWORKS))


def network_named(audit: Audit, name: str) -> int:
    """Return the number of a network by its name.

    Raises
    ------
    UsageError
        Where no network has it.
    """
    parts = audit.parts
    for number, anchor in enumerate(audit.networks.anchor.tolist()):
        dimension = parts.dimensions[int(parts.dimension[anchor])]
        if network_id(dimension, parts.block_at(anchor)) == name:
            return number
    raise UsageError(
        f"--network {name}: no network has this name. `lineshaft networks` lists them: "
        "DIMENSION:X,Y,Z."
    )


def _with_headroom(audit: Audit) -> list[int]:
    """Return the networks that turn with power to spare for some machine, the most first."""
    solution, networks, parts = audit.solution, audit.networks, audit.parts
    machine = np.array([kind.role == "machine" for kind in parts.catalogues.types], bool)
    rows = machine[parts.type] & (solution.speed >= 0)
    has = np.bincount(networks.network[rows], minlength=len(networks)) > 0
    headroom = []
    for number in np.flatnonzero(has & audit.selected & (solution.state == State.TURNING)).tolist():
        demand = solution.demand_power(number)
        left = None if demand is None else solution.capacity_power(number) - demand
        if demand and left:
            headroom.append((-left, number))
    return [number for _, number in sorted(headroom)]
