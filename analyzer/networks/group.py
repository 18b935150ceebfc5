"""Group parts into networks, zones and rigid shafts, and find the potential of every part."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES
from analyzer.base.tables import frozen
from analyzer.couplings.couplings import Couplings, Kind
from analyzer.couplings.engage import engaged
from analyzer.networks.components import label_components, spanning_forest
from analyzer.networks.networks import GovernorEdges, Networks
from analyzer.networks.potentials import contradicts, find_potentials
from analyzer.parts.parts import Parts


def group_networks(
    parts: Parts, couplings: Couplings, states: npt.NDArray[np.int8] | None = None
) -> Networks:
    """Group parts into networks for one choice of switch states.

    Parameters
    ----------
    parts
        n parts; none gives no networks.
    couplings
        m couplings between them.
    states
        State of each part's switch, int8, shape (n,): 1 on, 0 off, -1 no switch; None means those
        that the save holds.

    Returns
    -------
    Networks
        A part without an engaged coupling is a network of its own.

    Notes
    -----
    A speed other than zero exists in a zone if and only if the product of the ratios round every
    closed loop is 1, which holds if and only if no coupling outside a spanning tree contradicts
    the potentials along it (T. Zaslavsky, *Biased graphs I: Bias, balance, and gains*, J. Combin.
    Theory Ser. B 47 (1989) 32-52). Costs one breadth-first search and array work of
    O((n + m) log n).
    """
    mask = engaged(couplings, parts.switch_states() if states is None else states)
    chosen = np.flatnonzero(mask.couplings)
    a, b = couplings.a[chosen], couplings.b[chosen]
    zone, root = label_components(len(parts), a, b)
    parent = spanning_forest(len(parts), a, b, root)
    tree_coupling = np.full(len(parts), -1, np.int64)
    child = np.flatnonzero(parent >= 0)
    tree_coupling[child] = chosen[_first_between(len(parts), a, b, child, parent[child])]
    potential, potentials = find_potentials(couplings, parent, tree_coupling)
    in_tree = np.zeros(len(couplings.a), bool)
    in_tree[tree_coupling[child]] = True
    loose = chosen[~in_tree[chosen]]
    disagreeing = loose[contradicts(couplings, loose, potential, potentials)]
    governed = np.flatnonzero(mask.governed)
    network, anchor = _join_zones(parts, couplings, governed, zone=zone, root=root)
    order = np.argsort(network, kind="stable")
    start = np.searchsorted(network[order], np.arange(len(anchor) + 1))
    return Networks(
        network=frozen(network.astype(np.int32)),
        zone=frozen(zone.astype(np.int32)),
        shaft=frozen(_rigid_shafts(parts, couplings, chosen).astype(np.int32)),
        anchor=frozen(anchor.astype(np.int32)),
        root=frozen(root.astype(np.int32)),
        parent=frozen(parent.astype(np.int32)),
        parent_coupling=frozen(tree_coupling.astype(np.int32)),
        potential=frozen(potential.astype(np.int32)),
        potentials=potentials,
        disagreeing=frozen(disagreeing.astype(np.int32)),
        governors=_governor_edges(couplings, governed, zone),
        order=frozen(order.astype(np.int32)),
        start=frozen(start.astype(np.int32)),
    )


def _join_zones(
    parts: Parts,
    couplings: Couplings,
    governed: npt.NDArray[np.int64],
    *,
    zone: npt.NDArray[np.int64],
    root: npt.NDArray[np.int64],
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Return the network of each part and the smallest member of each network."""
    if not len(governed):
        return zone, root
    ends = couplings.governed.part[governed], couplings.governed.other[governed]
    a, b = (root[zone[part]] for part in ends)
    rooted = np.flatnonzero(np.arange(len(parts)) != root[zone])
    joined = np.concatenate([a, rooted]), np.concatenate([b, root[zone[rooted]]])
    return label_components(len(parts), *(ends.astype(np.int32) for ends in joined))


def _governor_edges(
    couplings: Couplings, governed: npt.NDArray[np.int64], zone: npt.NDArray[np.int64]
) -> GovernorEdges:
    table = couplings.governed
    drives = governed[table.drives[governed]]
    return GovernorEdges(
        governed=frozen(drives.astype(np.int32)),
        driving=frozen(zone[table.part[drives]].astype(np.int32)),
        driven=frozen(zone[table.other[drives]].astype(np.int32)),
    )


def _first_between(
    parts: int,
    a: npt.NDArray[np.int32],
    b: npt.NDArray[np.int32],
    child: npt.NDArray[np.int64],
    parent: npt.NDArray[np.int64],
) -> npt.NDArray[np.int64]:
    """Return the first coupling between each child and its parent; couplings ascend by (a, b)."""
    low, high = np.minimum(child, parent), np.maximum(child, parent)
    first: npt.NDArray[np.int64] = np.searchsorted(
        a.astype(np.int64) * parts + b, low * parts + high
    )
    return first


def _rigid_shafts(
    parts: Parts, couplings: Couplings, chosen: npt.NDArray[np.int64]
) -> npt.NDArray[np.int64]:
    """Label parts that are joined end to end, about one axis, at one and the same speed."""
    ratios = couplings.ratios
    unity = (ratios.sign > 0) & ~ratios.exponents.any(axis=1)
    front_axis = POSE_FACES[parts.pose, 0] >> 1
    a, b = couplings.a[chosen], couplings.b[chosen]
    rigid = (
        (couplings.kind[chosen] == Kind.SHAFT)
        & unity[couplings.ratio[chosen]]
        & (front_axis[a] == front_axis[b])
    )
    label, _ = label_components(len(parts), a[rigid], b[rigid])
    return label
