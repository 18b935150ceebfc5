"""Group parts into networks, zones and rigid shafts, and find the potential of every part."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES
from analyzer.base.tables import frozen
from analyzer.couplings.couplings import Couplings, Kind
from analyzer.couplings.engage import engaged
from analyzer.networks.components import label_components
from analyzer.networks.forest import span_forest
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
    rigid = _rigid(parts, couplings, chosen)
    shaft, shaft_root = label_components(len(parts), a[rigid], b[rigid])
    # Zones are shafts that the other couplings join.
    zone, first_shaft = label_components(len(shaft_root), shaft[a[~rigid]], shaft[b[~rigid]])
    zone, root = zone[shaft], shaft_root[first_shaft]
    forest = span_forest(len(parts), couplings, chosen, root)
    governed = np.flatnonzero(mask.governed)
    network, anchor = _join_zones(couplings, governed, zone=zone, root=root)
    order = np.argsort(network, kind="stable").astype(np.int32)
    start = np.zeros(len(anchor) + 1, np.int64)
    np.cumsum(np.bincount(network, minlength=len(anchor)), out=start[1:])
    potential, potentials = find_potentials(couplings, forest, order)
    clash = contradicts(couplings, forest.loose, potential, potentials)
    return Networks(
        network=frozen(network),
        zone=frozen(zone),
        shaft=frozen(shaft),
        anchor=frozen(anchor),
        root=frozen(root),
        parent=frozen(forest.parent),
        parent_coupling=frozen(forest.coupling),
        potential=frozen(potential),
        potentials=potentials,
        disagreeing=frozen(forest.loose[clash].astype(np.int32)),
        governors=_governor_edges(couplings, governed, zone),
        order=frozen(order),
        start=frozen(start.astype(np.int32)),
    )


def _join_zones(
    couplings: Couplings,
    governed: npt.NDArray[np.int64],
    *,
    zone: npt.NDArray[np.int32],
    root: npt.NDArray[np.int32],
) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int32]]:
    """Return the network of each part and the smallest member of each network."""
    if not len(governed):
        return zone, root
    table = couplings.governed
    a, b = zone[table.part[governed]], zone[table.other[governed]]
    network_of_zone, first_zone = label_components(len(root), a, b)
    return network_of_zone[zone], root[first_zone]


def _governor_edges(
    couplings: Couplings, governed: npt.NDArray[np.int64], zone: npt.NDArray[np.int32]
) -> GovernorEdges:
    table = couplings.governed
    drives = governed[table.drives[governed]]
    return GovernorEdges(
        governed=frozen(drives.astype(np.int32)),
        driving=frozen(zone[table.part[drives]].astype(np.int32)),
        driven=frozen(zone[table.other[drives]].astype(np.int32)),
    )


def _rigid(
    parts: Parts, couplings: Couplings, chosen: npt.NDArray[np.int64]
) -> npt.NDArray[np.bool_]:
    """Tell which couplings join parts end to end, about one axis, at one and the same speed."""
    ratios = couplings.ratios
    unity = (ratios.sign > 0) & ~ratios.exponents.any(axis=1)
    rigid: npt.NDArray[np.bool_]
    rigid = (couplings.kind[chosen] == Kind.SHAFT) & unity[couplings.ratio[chosen]]
    axis = (POSE_FACES[:, 0] >> 1)[parts.pose]
    rigid &= axis[couplings.a[chosen]] == axis[couplings.b[chosen]]
    return rigid
