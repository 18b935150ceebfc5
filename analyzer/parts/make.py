"""Making parts: candidates matched with the catalogues, resolved, and given exact numbers.

Each distinct block state is resolved once; everything else is array work over the candidates.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.base.tables import frozen, unique_rows
from analyzer.catalogue.catalogue import Catalogues
from analyzer.parts.match import Match, Matcher
from analyzer.parts.numbers import make_numbers
from analyzer.parts.parts import Parts, Rejected
from analyzer.save.scan import Candidates, Scan


def make_parts(scan: Scan, catalogues: Catalogues) -> Parts:
    """Turn the candidates of a scan into parts.

    Here, and nowhere else, a speed about a part's own front becomes a speed about the positive
    world axis of that front.

    Parameters
    ----------
    scan
        A scan for what these catalogues want.
    catalogues
        What the blocks do.

    Returns
    -------
    Parts
        Sorted as the candidates are; a scan without candidates gives no parts.
    """
    candidates = scan.candidates
    matches, group = _match(candidates, catalogues)
    rows = np.flatnonzero(np.array([match.type >= 0 for match in matches], bool)[group])
    kept = group[rows]
    types = np.array([match.type for match in matches], np.int16)
    resolved = [match.resolved for match in matches]
    poses = np.array([-1 if one is None else one.pose for one in resolved], np.int8)
    numbers = make_numbers(candidates, resolved, rows=rows, group=kept)
    return Parts(
        catalogues=catalogues,
        dimensions=scan.dimensions,
        dimension=frozen(candidates.dimension[rows]),
        xyz=frozen(candidates.xyz[rows]),
        type=frozen(types[kept]),
        pose=frozen(poses[kept]),
        state=frozen(candidates.state[rows]),
        states=candidates.states,
        numbers=numbers.numbers,
        fields=numbers.fields,
        rejected=_rejected(candidates, matches, group),
        unusable=numbers.unusable,
    )


def _match(
    candidates: Candidates, catalogues: Catalogues
) -> tuple[list[Match], npt.NDArray[np.int64]]:
    """Match each distinct pair of block state and block entity; number the pair of each row."""
    pairs, group = unique_rows(candidates.state, candidates.entity)
    matcher = Matcher(catalogues)
    matches = [
        matcher.match(candidates.states[state], None if entity < 0 else candidates.entities[entity])
        for state, entity in pairs.tolist()
    ]
    return matches, group


def _rejected(
    candidates: Candidates, matches: Sequence[Match], group: npt.NDArray[np.int64]
) -> tuple[Rejected, ...]:
    left = np.array([match.reason is not None for match in matches], bool)[group]
    rejected = []
    for row in np.flatnonzero(left).tolist():
        match = matches[int(group[row])]
        assert match.reason is not None
        rejected.append(
            Rejected(
                dimension=int(candidates.dimension[row]),
                at=Block(*candidates.xyz[row].tolist()),
                reason=match.reason,
                block=str(candidates.states[int(candidates.state[row])]),
                detail=match.detail,
            )
        )
    return tuple(sorted(rejected))
