"""The drive as a tree: what lies behind each coupling that alone leads there from the movers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, TypeAlias

import numpy as np

from analyzer.catalogue.catalogue import Field
from analyzer.couplings.engage import Engaged
from analyzer.findings.audit import Audit

#: Whether parts may turn slower than they do, or slower and faster.
Way: TypeAlias = Literal["slower", "either"]


@dataclass(eq=False)
class Branch:
    """Parts that change speed together, and what is behind them.

    Parameters
    ----------
    couplings
        The couplings on the way from the branch before, each with its part behind it: gears in any
        of them change all here. All are between parts of one class.
    fits
        That class; None where the two parts of a coupling differ in it.
    demand_power, rpm
        Power and speed of its machines as they turn.
    upper, lower
        Bounds of the factor by which its speeds may change; None where nothing bounds it.
    behind
        The branches behind it.
    parts
        The parts, ascending.
    """

    couplings: list[tuple[int, int]] = field(default_factory=list)
    fits: str | None = None
    demand_power: Fraction = Fraction(0)
    rpm: Fraction = Fraction(0)
    upper: Fraction | None = None
    lower: Fraction | None = None
    behind: list[Branch] = field(default_factory=list)
    parts: list[int] = field(default_factory=list)

    @property
    def is_empty(self) -> bool:
        """Whether nothing here minds how fast it turns."""
        bounded = self.upper is not None or self.lower is not None
        return not (self.demand_power or self.rpm or bounded)


@dataclass(frozen=True)
class Bounded:
    """Which parts are held to their limits: those that keep them now, or all.

    Parameters
    ----------
    way
        Which way speeds change; a bound that lies the other way is left out.
    fast, slow
        Whether parts that turn too fast, and machines that turn too slow, are to be mended.
    """

    way: Way
    fast: bool
    slow: bool


def drive_tree(audit: Audit, engaged: Engaged, bounded: Bounded) -> Branch:
    """Return the trunk: the parts that no single coupling separates from all movers.

    Parameters
    ----------
    audit
        An audit of one network, with known speeds.
    engaged
        Which of its couplings are engaged.
    bounded
        Which limits count.
    """
    trunk = bridge_tree(audit, engaged)
    limits = speed_limits(audit)
    for branch in branches_of(trunk):
        _fill(audit, bounded, branch, limits)
    return trunk


def bridge_tree(audit: Audit, engaged: Engaged) -> Branch:
    """Return the trunk of a network, and behind it the branches, with nothing but their parts.

    Parameters
    ----------
    audit
        An audit of one network, with known speeds.
    engaged
        Which of its couplings are engaged.

    Notes
    -----
    Bridges of the graph of couplings, in which all that sets a speed (movers, and parts held by
    governors) is joined (R. E. Tarjan, *A note on finding the bridges of a graph*, Information
    Processing Letters 2 (1974) 160-161; cited from memory).
    """
    import networkx as nx

    couplings, networks = audit.couplings, audit.networks
    here = np.flatnonzero(engaged.couplings).tolist()
    between: dict[tuple[int, int], list[int]] = {}
    for number in here:
        pair = (int(couplings.a[number]), int(couplings.b[number]))
        between.setdefault(pair, []).append(number)
    held = np.flatnonzero(engaged.governed & couplings.governed.drives)
    sources = {*np.flatnonzero(audit.solution.active).tolist()}
    sources |= {*couplings.governed.other[held].tolist()}
    graph = nx.Graph()
    graph.add_nodes_from(range(len(networks.network)))
    graph.add_edges_from(between)
    graph.add_edges_from((-1, source) for source in sorted(sources))
    bridges = [
        (min(pair), max(pair))
        for pair in nx.bridges(graph)
        if -1 not in pair and len(between[min(pair), max(pair)]) == 1
    ]
    graph.remove_edges_from(bridges)
    clump = {}
    for number, parts in enumerate(nx.connected_components(graph)):
        for part in parts:
            clump[part] = number
    tree = nx.Graph()
    tree.add_node(clump.get(-1, -1))
    for a, b in bridges:
        tree.add_edge(clump[a], clump[b], ends=(a, b), coupling=between[a, b][0])
    return _grown(audit, tree, clump)


def branches_of(trunk: Branch) -> list[Branch]:
    """Return a tree's branches, each after the one it lies behind."""
    order = [trunk]
    for one in order:
        order += one.behind
    return order


def simplified(branch: Branch) -> Branch:
    """Return a tree without branches that mind nothing, whose couplings join those behind them."""
    for one in reversed(branches_of(branch)):
        kept = []
        for child in one.behind:
            if child.is_empty and not child.behind:
                continue
            if child.is_empty and [one.fits for one in child.behind] == [child.fits]:
                (only,) = child.behind
                only.couplings = child.couplings + only.couplings
                kept.append(only)
            else:
                kept.append(child)
        one.behind = kept
    return branch


def _grown(audit: Audit, tree: object, clump: dict[int, int]) -> Branch:
    import networkx as nx

    assert isinstance(tree, nx.Graph)
    branches = {number: Branch() for number in set(clump.values())}
    for part, number in sorted(clump.items()):
        if part >= 0:
            branches[number].parts.append(part)
    root = clump.get(-1, -1)
    trunk = branches.get(root, Branch())
    types = audit.parts.catalogues.types
    for parent, child in nx.bfs_edges(tree, root):
        ends, coupling = (tree.edges[parent, child][key] for key in ("ends", "coupling"))
        part = next(end for end in ends if clump[end] == child)
        classes = {types[int(audit.parts.type[end])].fits for end in ends}
        branches[child].couplings = [(coupling, part)]
        branches[child].fits = classes.pop() if len(classes) == 1 else None
        branches[parent].behind.append(branches[child])
    for one in branches.values():
        one.behind.sort(key=lambda child: child.couplings)
    return trunk


def _fill(
    audit: Audit, bounded: Bounded, branch: Branch, limits: Sequence[Fraction | None]
) -> None:
    parts, types = audit.parts, audit.parts.catalogues.types
    for part in branch.parts:
        speed = audit.solution.speed_rpm(part)
        if not speed:
            continue
        rpm, kind = abs(speed), int(parts.type[part])
        limit = limits[kind]
        if limit is not None and (rpm <= limit or bounded.fast):
            _bound(branch, bounded.way, upper=limit / rpm)
        if types[kind].role == "machine":
            branch.rpm += rpm
            branch.demand_power += rpm * (parts.number(part, Field.TORQUE) or Fraction(0))
            least = parts.number(part, Field.LEAST_RPM)
            if least and (rpm >= least or bounded.slow):
                _bound(branch, bounded.way, lower=least / rpm)


def _bound(
    branch: Branch, way: Way, *, upper: Fraction | None = None, lower: Fraction | None = None
) -> None:
    """Narrow a branch's bounds; those that speeds only move away from are left out."""
    if upper is not None and (way == "either" or upper < 1):
        branch.upper = upper if branch.upper is None else min(branch.upper, upper)
    if lower is not None:
        branch.lower = lower if branch.lower is None else max(branch.lower, lower)


def speed_limits(audit: Audit) -> Sequence[Fraction | None]:
    """Return the speed limit of each type of the catalogues, in rpm; None where it has none."""
    of_all = audit.policy.speed_limit_rpm
    return [
        kind.speed_limit_rpm if of_all is None else of_all for kind in audit.parts.catalogues.types
    ]
