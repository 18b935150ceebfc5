"""Networks and zones are the components that graph libraries find."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from analyzer.networks.networks import Networks
from analyzer.pipeline.audit import audit_save
from tests.grown.grow import grow, make_wish
from tests.grown.recipes import make_recipe
from tests.grown.saves import write_build
from tests.outside.judged_graphs import SHAPES, Joined, chance, shape
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Grouping and speeds: reference libraries"
DRAWN = 100
GROWN = 16
BY_NETWORKX = Check(
    SUBJECT,
    "GROUP1",
    f"networks and zones of {len(SHAPES)} named graphs (none, lines, rings, walls, trees, cubes)"
    f" and {DRAWN} random ones with switches, governors and pairs coupled twice",
    "as many, with the same members: zones by the engaged couplings, networks by governors too",
    Source(
        Evidence.LIBRARY,
        "networkx: connected_components",
        "networkx.org/documentation/stable/reference/algorithms/component.html",
    ),
    why="sets of parts",
)
BY_SCIPY = Check(
    SUBJECT,
    "GROUP2",
    BY_NETWORKX.what,
    "as many, with the same members",
    Source(
        Evidence.LIBRARY,
        "scipy: sparse.csgraph.connected_components, strong components of the couplings both ways",
        "docs.scipy.org/doc/scipy/reference/sparse.csgraph.html",
    ),
    why="sets of parts. The tool itself uses this function's search for weak components, another"
    " algorithm",
)
BY_WAY = Check(
    SUBJECT,
    "GROUP3",
    "how many couplings lie between each part and the root of its zone, in the same graphs",
    "the fewest",
    Source(
        Evidence.LIBRARY,
        "networkx: single_source_shortest_path_length",
        "networkx.org/documentation/stable/reference/algorithms/shortest_paths.html",
    ),
    why="whole numbers",
)
BUILT = Check(
    SUBJECT,
    "GROUP4",
    f"networks of {GROWN} grown builds of up to 200 blocks, written as saves and audited",
    "the parts that the couplings found join, as their switches stand",
    BY_NETWORKX.source,
    why="sets of parts",
)
Components = Callable[[int, Iterable[tuple[int, int]]], set[frozenset[int]]]


def _by_networkx(parts: int, pairs: Iterable[tuple[int, int]]) -> set[frozenset[int]]:
    return set(map(frozenset, nx.connected_components(_graph(parts, pairs))))


def _by_scipy(parts: int, pairs: Iterable[tuple[int, int]]) -> set[frozenset[int]]:
    a, b = np.array([*pairs], int).reshape(-1, 2).T
    ends = np.concatenate([a, b]), np.concatenate([b, a])
    matrix = coo_array((np.ones(2 * len(a)), ends), shape=(parts, parts)).tocsr()
    count, labels = connected_components(matrix, directed=True, connection="strong")
    found = {frozenset(np.flatnonzero(labels == label).tolist()) for label in range(count)}
    assert len(found) == count
    return found


def _graph(parts: int, pairs: Iterable[tuple[int, int]]) -> nx.Graph:
    graph = nx.empty_graph(parts)
    graph.add_edges_from(pairs)
    return graph


def _hold(joined: Joined, components: Components) -> None:
    networks = joined.grouped()
    zones = components(joined.parts, joined.engaged())
    assert _sets(networks.zone) == zones
    assert networks.root.tolist() == sorted(map(min, zones))
    whole = components(joined.parts, [*joined.engaged(), *joined.governed])
    assert _sets(networks.network) == whole
    assert networks.anchor.tolist() == sorted(map(min, whole))
    assert [frozenset(networks.members(n).tolist()) for n in range(len(networks))] == sorted(
        whole, key=min
    )


def _sets(labels: np.ndarray) -> set[frozenset[int]]:
    return {frozenset(np.flatnonzero(labels == label).tolist()) for label in set(labels.tolist())}


@pytest.mark.parametrize(
    "components",
    [
        pytest.param(_by_networkx, marks=checked(BY_NETWORKX), id="networkx"),
        pytest.param(_by_scipy, marks=checked(BY_SCIPY), id="scipy"),
    ],
)
@pytest.mark.parametrize("name", SHAPES)
def test_a_named_graph_falls_apart_as_a_library_says(name: str, components: Components) -> None:
    _hold(shape(name), components)


@pytest.mark.parametrize(
    "components",
    [
        pytest.param(_by_networkx, marks=checked(BY_NETWORKX), id="networkx"),
        pytest.param(_by_scipy, marks=checked(BY_SCIPY), id="scipy"),
    ],
)
def test_a_random_graph_falls_apart_as_a_library_says(components: Components) -> None:
    counts = set()
    for seed in range(DRAWN):
        joined = chance(seed)
        _hold(joined, components)
        counts.add(len(joined.grouped()))
    assert len(counts) > 20


@checked(BY_WAY)
def test_every_part_hangs_on_its_root_by_the_fewest_couplings() -> None:
    longest = 0
    for joined in [*map(shape, SHAPES), *map(chance, range(DRAWN))]:
        networks = joined.grouped()
        graph = _graph(joined.parts, joined.engaged())
        steps = _steps(networks)
        for root in networks.root.tolist():
            for part, least in nx.single_source_shortest_path_length(graph, root).items():
                assert steps[part] == least
                longest = max(longest, least)
    assert longest > 100


def _steps(networks: Networks) -> list[int]:
    steps = []
    for part in range(len(networks.parent)):
        count, here = 0, part
        while (above := int(networks.parent[here])) >= 0:
            count, here = count + 1, above
        steps.append(count)
    return steps


@checked(BUILT)
def test_a_build_in_a_save_falls_apart_as_networkx_says(tmp_path: Path) -> None:
    sizes = set()
    for seed in range(GROWN):
        draw = random.Random(seed)
        recipe = make_recipe(draw)
        save = tmp_path / str(seed)
        write_build(save, grow(draw, recipe, make_wish(draw)))
        catalogue = tmp_path / f"{seed}.toml"
        catalogue.write_text(recipe.text, encoding="utf-8")
        audit = audit_save(save, catalogues=[str(catalogue)])
        on = audit.parts.switch_states().tolist()
        table, governed = audit.couplings, audit.couplings.governed
        rows = zip(table.a, table.b, table.guard_a, table.guard_b, strict=True)
        held = zip(
            governed.part, governed.other, governed.guard_part, governed.guard_other, strict=True
        )
        pairs = [
            (int(a), int(b))
            for a, b, when_a, when_b in [*rows, *held]
            if when_a in (-1, on[a]) and when_b in (-1, on[b])
        ]
        found = _by_networkx(len(audit.parts), pairs)
        assert _sets(audit.networks.network) == found
        sizes |= set(map(len, found))
    assert max(sizes) > 40
