"""Parts that a rule picked out, by network and the worst first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.findings.case import Case


def iter_by_network(
    case: Case, parts: npt.NDArray[Any], rank: npt.NDArray[np.int64] | None = None
) -> Iterator[tuple[int, npt.NDArray[Any]]]:
    """Yield each selected network that holds some of the parts, with the places of those.

    Parameters
    ----------
    case
        What is judged.
    parts
        Rows of parts, shape (k,), in any order; a part may come more than once. None yields
        nothing.
    rank
        How bad each is, int64, shape (k,): 0 is the worst. Equal ones, and all without it, come in
        order of position.

    Yields
    ------
    network, places
        Networks ascending; for each the indices into `parts` that lie in it, the worst first.
    """
    network = case.networks.network[parts]
    kept = np.flatnonzero(case.selected[network])
    ranks = np.zeros(len(parts), np.int64) if rank is None else rank
    kept = kept[np.lexsort((parts[kept], ranks[kept], network[kept]))]
    numbers, start = np.unique(network[kept], return_index=True)
    yield from zip(numbers.tolist(), np.split(kept, start[1:]), strict=False)


def blocks_of(case: Case, parts: npt.NDArray[Any]) -> list[Block]:
    """Return the positions of the first few parts, as many as one finding names."""
    return [case.parts.block_at(part) for part in parts[: case.policy.worst_places].tolist()]
