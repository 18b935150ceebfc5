"""Remedies for a loop that contradicts itself: couplings to undo, parts to remove, gears to put."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import numpy as np

from analyzer.advice.advice import Cut, Gearing, Proof, Remedy, Remove
from analyzer.advice.edits import joint_of
from analyzer.advice.outline import machines_of
from analyzer.advice.remedies.gears import pairs_between
from analyzer.advice.remedies.subject import Subject
from analyzer.advice.removal.fewest import balanced, fewest_edges, fewest_vertices
from analyzer.advice.removal.gain_graph import Edge, Removal, potentials, twisted
from analyzer.findings.audit import Audit


def loop_remedies(subject: Subject) -> Iterator[Remedy]:
    """Yield ways to mend a loop conflict: one of each kind that there is.

    The fewest couplings to undo; the fewest parts to remove, of those with no fewer the ones with
    the fewest machines and movers, so that a mover is left; and, where one coupling alone is at
    fault, gears to put there.
    """
    block = _block(subject)
    if block is None:
        return
    for found in (_cut(subject, block), _remove(subject, block), *_gears(subject, block)):
        if found is not None:
            yield found


@dataclass(frozen=True, eq=False)
class _Block:
    """A biconnected block with a loop that contradicts itself."""

    parts: tuple[int, ...]
    couplings: tuple[int, ...]
    edges: tuple[Edge, ...]

    @cached_property
    def removal(self) -> Removal:
        """The fewest couplings to undo."""
        return fewest_edges(len(self.parts), self.edges)


def _block(subject: Subject) -> _Block | None:
    """Return the block in which the finding's witness lies."""
    import networkx as nx

    before, witness = subject.before, subject.finding.witness
    if witness is None:
        return None
    couplings, networks = before.couplings, before.networks
    rows = {before.parts.block_at(part): part for part in range(len(before.parts))}
    looped = {rows[at] for at in witness.parts}
    zone = int(networks.zone[min(looped)])
    mask = subject.engaged.couplings & (networks.zone[couplings.a] == zone)
    between: dict[tuple[int, int], list[int]] = {}
    for number in np.flatnonzero(mask).tolist():
        pair = (int(couplings.a[number]), int(couplings.b[number]))
        between.setdefault(pair, []).append(number)
    graph = nx.Graph()
    graph.add_edges_from(between)
    for steps in nx.biconnected_component_edges(graph):
        pairs = [(min(pair), max(pair)) for pair in steps]
        parts = {part for pair in pairs for part in pair}
        if looped <= parts:
            numbers = sorted(number for pair in pairs for number in between[pair])
            return _made(before, tuple(sorted(parts)), numbers)
    return None


def _made(before: Audit, parts: tuple[int, ...], numbers: list[int]) -> _Block:
    couplings = before.couplings
    place = {part: vertex for vertex, part in enumerate(parts)}
    ratio: dict[int, Fraction] = {}
    edges = []
    for number in numbers:
        index = int(couplings.ratio[number])
        gain = ratio.setdefault(index, couplings.ratios[index])
        a, b = int(couplings.a[number]), int(couplings.b[number])
        edges.append((place[a], place[b], gain))
    graph = twisted(len(parts), edges)
    switched = [(u, v, graph.gains.value(gain)) for u, v, gain in graph.edges]
    return _Block(parts, tuple(numbers), tuple(switched))


def _mended(subject: Subject, block: _Block, after: Audit) -> bool:
    """Tell whether no loop within the block contradicts itself any more, and a mover is left."""
    here = {subject.before.parts.block_at(part) for part in block.parts}
    return not any(
        one.rule == subject.finding.rule
        and one.witness is not None
        and here.issuperset(one.witness.parts)
        for one in after.findings.items
    )


def _cut(subject: Subject, block: _Block) -> Remedy | None:
    before, found = subject.before, block.removal
    edits = [
        Cut(joint_of(before.parts, before.couplings, block.couplings[number]))
        for number in found.removed
    ]
    proof = Proof(found.by, Fraction(found.weight), Fraction(found.bound))
    return subject.remedy(
        "cut-couplings", edits, proof, lambda after: _mended(subject, block, after)
    )


def _remove(subject: Subject, block: _Block) -> Remedy | None:
    before = subject.before
    active = before.solution.active
    dear = machines_of(before.parts) | active
    # So many more for each part that no number of machines among them outweighs one part.
    part_weight = len(block.parts) + 1
    weights = [part_weight + int(dear[part]) for part in block.parts]
    movers = [vertex for vertex, part in enumerate(block.parts) if active[part]]
    elsewhere = int(active.sum()) > len(movers)
    found = fewest_vertices(
        len(block.parts),
        block.edges,
        weights=weights,
        one_of=() if elsewhere or not movers else movers,
    )
    if found is None:
        return None
    edits = [Remove(subject.spot(block.parts[vertex])) for vertex in found.removed]
    count = len(found.removed)
    # What weighs at least the bound holds at least so many parts, each of weight + 1 at most.
    bound = count if found.least else min(count, -(-found.bound // (part_weight + 1)))
    proof = Proof(found.by, Fraction(count), Fraction(bound))
    return subject.remedy(
        "remove-parts", edits, proof, lambda after: _mended(subject, block, after)
    )


def _gears(subject: Subject, block: _Block) -> Iterator[Remedy | None]:
    """Yield one reversing gear, or one pair of gears, at one coupling, if that would do."""
    if block.removal.weight != 1 or not block.removal.least:
        return
    couplings = block.couplings
    for chosen, factor in _single(subject, block):
        joint = joint_of(subject.before.parts, subject.before.couplings, couplings[chosen])
        proof = Proof("count", Fraction(1), Fraction(1))
        if factor == -1:
            edit = Gearing(joint, joint.second, factor)
            yield subject.remedy(
                "reverse", [edit], proof, lambda after: _mended(subject, block, after)
            )
            return
        pair = pairs_between(subject.before, couplings[chosen]).get(-factor)
        if pair is not None:
            edit = Gearing(joint, joint.second, factor, pair)
            yield subject.remedy(
                "change-speed", [edit], proof, lambda after: _mended(subject, block, after)
            )
            return


def _single(subject: Subject, block: _Block) -> Iterator[tuple[int, Fraction]]:
    """Yield each coupling whose ratio alone is at fault, with the factor that would mend it.

    Such a coupling lies on every loop that contradicts itself, so on the witness too.
    """
    witness = subject.finding.witness
    assert witness is not None
    place = {subject.before.parts.block_at(part): row for row, part in enumerate(block.parts)}
    ring = [place[at] for at in witness.parts]
    steps = {frozenset(step) for step in zip(ring, ring[1:] + ring[:1], strict=True)}
    for chosen, (u, v, gain) in enumerate(block.edges):
        if frozenset((u, v)) in steps:
            others = [edge for number, edge in enumerate(block.edges) if number != chosen]
            if balanced(len(block.parts), others):
                speeds = potentials(len(block.parts), others)
                yield chosen, speeds[v] / speeds[u] / gain
