"""Solve every network: which way and how fast each part turns, and whether the power suffices."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Policy
from analyzer.base.tables import frozen, unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import Couplings
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.solution.governors import Governance, govern, outrank
from analyzer.solution.movers import Leads, active_movers, find_leads
from analyzer.solution.power import power_by_network
from analyzer.solution.solution import Conflict, Motion, Solution, State
from analyzer.solution.speeds import part_speeds, zones_out_of_range


def solve_networks(
    parts: Parts, couplings: Couplings, networks: Networks, policy: Policy
) -> Solution:
    """Find the state, speeds and power budget of every network, exactly.

    Parameters
    ----------
    parts, couplings, networks
        The mechanism; no parts give an empty solution.
    policy
        The rule for unequal movers, where the user overrides the catalogues.

    Returns
    -------
    Solution
        See there. The speed of a zone is that of its leading mover; a mover that is slower in the
        same sense is dragged along and still gives its full rating (a convention of this project).
    """
    active = active_movers(parts, policy)
    zones = len(networks.root)
    looped = np.zeros(zones, bool)
    looped[networks.zone[couplings.a[networks.disagreeing]]] = True
    spread = zones_out_of_range(networks) & ~looped
    leads = find_leads(parts, networks, policy, active=active, consistent=~looped, in_range=~spread)
    governed = govern(
        parts, couplings, networks, leads, active=active, consistent=~looped, in_range=~spread
    )
    leads = outrank(leads, governed, in_range=~spread)

    motion = np.full(zones, Motion.RESTS, np.int8)
    motion[leads.leader >= 0] = Motion.TURNS
    motion[[zone for zone, rpm in governed.root_rpm.items() if not rpm]] = Motion.RESTS
    motion[(motion == Motion.TURNS) & spread] = Motion.OUT_OF_RANGE
    motion[looped | (leads.opposing >= 0)] = Motion.LOCKED
    motion[[clash.zone for clash in governed.clashes]] = Motion.LOCKED
    state, conflict = _states(networks, active, motion, looped, governed)

    speed, speeds = _speeds(networks, leads, motion, state)
    capacity, demand, powers = _budgets(parts, networks, active, state, (speed, speeds))
    # Amounts of power ascend, so their numbers compare as they do; an unknown demand is -1.
    # Equal is full, not overloaded.
    state[demand > capacity] = State.OVERLOADED
    return Solution(
        motion=frozen(motion),
        leader=frozen(leads.leader),
        opposing=frozen(leads.opposing),
        speed=frozen(speed),
        speeds=speeds,
        state=frozen(state),
        conflict=frozen(conflict),
        capacity=frozen(capacity.astype(np.int32)),
        demand=frozen(demand.astype(np.int32)),
        powers=powers,
        cut=frozen(_cut(parts, couplings, networks)),
        active=frozen(active),
        dragged=frozen(_dragged(parts, active, speed, speeds)),
        clashes=governed.clashes,
    )


def _speeds(
    networks: Networks,
    leads: Leads,
    motion: npt.NDArray[np.int8],
    state: npt.NDArray[np.int8],
) -> tuple[npt.NDArray[np.int32], tuple[Fraction, ...]]:
    """Return every part's speed; zones at rest in a driven network have speed 0."""
    driven = (state == State.TURNING)[networks.network[networks.root]]
    asked = np.where(motion == Motion.TURNS, leads.asked, -1)
    asked[motion == Motion.RESTS] = len(leads.asks)
    asked[~driven] = -1
    return part_speeds(networks, asked=asked, asks=(*leads.asks, Fraction(0)))


def _dragged(
    parts: Parts,
    active: npt.NDArray[np.bool_],
    speed: npt.NDArray[np.int32],
    speeds: tuple[Fraction, ...],
) -> npt.NDArray[np.bool_]:
    """Tell which active movers turn at another speed than they are rated for."""
    dragged = np.zeros(len(parts), bool)
    movers = np.flatnonzero(active & (speed >= 0))
    pairs, pair = unique_rows(parts.column(Field.RATED_RPM)[movers], speed[movers])
    differs = [parts.numbers[rated] != speeds[found] for rated, found in pairs.tolist()]
    dragged[movers] = np.array(differs, bool)[pair]
    return dragged


def _states(
    networks: Networks,
    active: npt.NDArray[np.bool_],
    motion: npt.NDArray[np.int8],
    looped: npt.NDArray[np.bool_],
    governed: Governance,
) -> tuple[npt.NDArray[np.int8], npt.NDArray[np.int8]]:
    """Return the state of each network as far as it does not rest on power, and its conflict."""
    network_of_zone = networks.network[networks.root]
    state = np.full(len(networks), State.IDLE, np.int8)
    state[networks.network[active]] = State.TURNING
    conflict = np.full(len(networks), Conflict.NONE, np.int8)
    conflict[network_of_zone[motion == Motion.LOCKED]] = Conflict.MOVERS
    clashes = [clash for clash in governed.clashes if clash.conflict is Conflict.GOVERNORS]
    conflict[[clash.network for clash in clashes]] = Conflict.GOVERNORS
    conflict[network_of_zone[looped]] = Conflict.LOOP
    state[conflict != Conflict.NONE] = State.CONFLICTING
    return state, conflict


def _budgets(
    parts: Parts,
    networks: Networks,
    active: npt.NDArray[np.bool_],
    state: npt.NDArray[np.int8],
    solved: tuple[npt.NDArray[np.int32], tuple[Fraction, ...]],
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64], tuple[Fraction, ...]]:
    """Return the numbers of each network's capacity and demand, and the amounts of power.

    Demand is -1 in conflicting networks, and where a machine of a driven network has no usable
    torque or no speed.
    """
    speed, speeds = solved
    torque = parts.column(Field.TORQUE)
    movers = np.flatnonzero(active)
    capacity, capacities = power_by_network(
        networks=len(networks),
        network=networks.network[movers],
        torque=torque[movers],
        torques=parts.numbers,
        speed=parts.column(Field.RATED_RPM)[movers],
        speeds=parts.numbers,
    )
    driven = _machines(parts) & (state == State.TURNING)[networks.network]
    known = driven & (torque >= 0) & (speed >= 0)
    machines = np.flatnonzero(known)
    demand, demands = power_by_network(
        networks=len(networks),
        network=networks.network[machines],
        torque=torque[machines],
        torques=parts.numbers,
        speed=speed[machines],
        speeds=speeds,
    )
    powers = tuple(sorted({*capacities, *demands}))
    place = {power: index for index, power in enumerate(powers)}
    capacity = np.array([place[power] for power in capacities], np.int64)[capacity]
    demand = np.array([place[power] for power in demands], np.int64)[demand]
    demand[state == State.CONFLICTING] = -1
    demand[networks.network[driven & ~known]] = -1
    return capacity, demand, powers


def _machines(parts: Parts) -> npt.NDArray[np.bool_]:
    is_machine = np.array([entry.role == "machine" for entry in parts.catalogues.types], bool)
    machines: npt.NDArray[np.bool_] = is_machine[parts.type]
    return machines


def _cut(parts: Parts, couplings: Couplings, networks: Networks) -> npt.NDArray[np.bool_]:
    """Tell which networks are cut, or hold a part with a number that cannot be used."""
    cut = np.zeros(len(networks), bool)
    cut[networks.network[couplings.cuts.part]] = True
    cut[networks.network[[number.part for number in parts.unusable]]] = True
    return cut
