"""The fewest edges, and the fewest vertices, whose removal balances a gain graph."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from analyzer.advice.removal.gain_graph import By, Edge, Removal, twisted
from analyzer.advice.removal.hitting import ROUNDS, lightest
from analyzer.advice.removal.reduce import Bundle, graph_of, reduce_edges
from analyzer.advice.removal.sides import lightest_by_sides


def fewest_edges(
    vertices: int,
    edges: Sequence[Edge],
    *,
    weights: Sequence[int] | None = None,
    rounds: int = ROUNDS,
) -> Removal:
    """Find the fewest edges of a gain graph whose removal leaves every loop balanced.

    For gains +1 and -1 their number is the frustration index of the signed graph. With the ratios
    of couplings as gains it is how many couplings have to be undone before anything can turn.

    Parameters
    ----------
    vertices
        How many vertices there are.
    edges
        (vertex, vertex, gain from the first to the second); several may join the same two. None
        gives an empty removal.
    weights
        Weight of each edge, at least 1; None: 1 each, so that the number of edges counts.
    rounds
        Most integer programs to solve for one biconnected block.

    Returns
    -------
    Removal
        The answer, and a bound: the two agree unless the search was cut short.

    Raises
    ------
    ValueError
        Where a gain is zero.

    Notes
    -----
    Loops lie in biconnected blocks, so each is searched by itself. A small signed block is settled
    by trying all ways to take sides, any other by implicit hitting sets. The problem is NP-hard
    (all gains -1: the largest cut).

    Examples
    --------
    Three gears that all touch cannot turn; one mesh has to go.

    >>> from fractions import Fraction
    >>> fewest_edges(3, [(0, 1, Fraction(-1)), (1, 2, Fraction(-1)), (0, 2, Fraction(-1))]).weight
    1
    """
    graph = twisted(vertices, edges)
    each = [1] * len(edges) if weights is None else list(weights)
    reduced = reduce_edges(graph, each)
    removed, bound, weight = list(reduced.forced), reduced.forced_weight, reduced.forced_weight
    ways: list[By] = ["enumeration"] if removed else []
    for bundles in _blocks(reduced.bundles):
        small, heavy = graph_of(bundles, graph.gains)
        found = lightest_by_sides(small, heavy) or lightest(
            small, heavy, by_vertex=False, rounds=rounds
        )
        assert found is not None, "every edge may go"
        removed += [member for number in found.removed for member in bundles[number].members]
        bound, weight = bound + found.bound, weight + found.weight
        if found.removed:
            ways.append(found.by)
    return Removal(tuple(sorted(removed)), weight, bound, _joined(ways, exact=bound == weight))


def fewest_vertices(
    vertices: int,
    edges: Sequence[Edge],
    *,
    weights: Sequence[int] | None = None,
    kept: Collection[int] = (),
    one_of: Collection[int] = (),
    rounds: int = ROUNDS,
) -> Removal | None:
    """Find the fewest vertices of a gain graph whose removal leaves every loop balanced.

    Parameters
    ----------
    vertices, edges, weights, rounds
        As for `fewest_edges`; weights are those of the vertices.
    kept
        Vertices that stay.
    one_of
        Vertices of which one at least stays; none asks for nothing.

    Returns
    -------
    Removal or None
        None where what has to stay contradicts itself, or nothing was found.

    Raises
    ------
    ValueError
        Where a gain is zero.

    Examples
    --------
    >>> from fractions import Fraction
    >>> edges = [(0, 1, Fraction(-1)), (1, 2, Fraction(-1)), (0, 2, Fraction(-1))]
    >>> len(fewest_vertices(3, edges).removed)
    1
    """
    graph = twisted(vertices, edges)
    each = [1] * vertices if weights is None else list(weights)
    return lightest(graph, each, by_vertex=True, kept=kept, one_of=one_of, rounds=rounds)


def balanced(vertices: int, edges: Sequence[Edge]) -> bool:
    """Tell whether every loop of a gain graph has the product 1.

    >>> from fractions import Fraction
    >>> balanced(2, [(0, 1, Fraction(2)), (1, 0, Fraction(1, 2))])
    True
    """
    return not any(gain for _, _, gain in twisted(vertices, edges).edges)


def _blocks(bundles: Sequence[Bundle]) -> list[list[Bundle]]:
    """Return the biconnected blocks with several gains, in order of their edges."""
    import networkx as nx

    between: dict[tuple[int, int], list[Bundle]] = {}
    for one in bundles:
        between.setdefault((min(one.u, one.v), max(one.u, one.v)), []).append(one)
    graph = nx.Graph()
    graph.add_edges_from(between)
    blocks = []
    for pairs in nx.biconnected_component_edges(graph):
        inside = [one for u, v in pairs for one in between[min(u, v), max(u, v)]]
        if any(one.gain for one in inside):
            blocks.append(sorted(inside, key=lambda one: one.members))
    return sorted(blocks, key=lambda block: block[0].members)


def _joined(ways: Sequence[By], *, exact: bool) -> By:
    if not exact:
        return "program"
    order: tuple[By, ...] = ("program", "loops", "enumeration")
    return next((way for way in order if way in ways), "count")
