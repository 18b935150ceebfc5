"""Making parts: candidates matched with the catalogues, resolved, and given exact numbers.

Each distinct block state is resolved once; everything else is array work over the candidates.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.base.tables import Interner, frozen, unique_rows
from analyzer.catalogue.catalogue import Catalogues, Field
from analyzer.parts.links import read_links
from analyzer.parts.match import Match, Matcher
from analyzer.parts.numbers import make_numbers
from analyzer.parts.parts import Links, Parts, Records, Rejected, Unusable
from analyzer.parts.readings import Lookup, Rows
from analyzer.parts.records import posed_record, read_records
from analyzer.save.scan.scan import Candidates, Scan


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
    stored = _read_stored(candidates, catalogues, matches, rows=rows, group=kept)
    return Parts(
        catalogues=catalogues,
        dimensions=scan.dimensions,
        dimension=frozen(candidates.dimension[rows]),
        xyz=frozen(candidates.xyz[rows]),
        type=frozen(types[kept]),
        pose=frozen(poses[kept]),
        state=frozen(candidates.state[rows]),
        states=candidates.states,
        numbers=stored.numbers,
        fields=stored.fields,
        rejected=_rejected(candidates, matches, group),
        unusable=stored.unusable,
        links=stored.links,
        recorded=stored.recorded,
    )


@dataclass(frozen=True, eq=False)
class _Stored:
    """See the fields of the same names in `Parts`."""

    numbers: tuple[Fraction, ...]
    fields: Mapping[Field, npt.NDArray[np.int32]]
    links: Links
    recorded: Records
    unusable: tuple[Unusable, ...]


def _read_stored(
    candidates: Candidates,
    catalogues: Catalogues,
    matches: Sequence[Match],
    *,
    rows: Rows,
    group: Rows,
) -> _Stored:
    """Give the parts, rows of the candidates in some groups, their numbers, links and records."""
    lookup = Lookup(candidates)
    known: Interner[Fraction] = Interner()
    types = [None if match.type < 0 else catalogues.types[match.type] for match in matches]
    numbers = make_numbers(
        [match.resolved for match in matches], known=known, lookup=lookup, rows=rows, group=group
    )
    links, astray = read_links(candidates, types, lookup=lookup, rows=rows, group=group)
    posed = [
        posed_record(type_.recorded, match.resolved.pose)
        if type_ is not None and type_.recorded is not None and match.resolved is not None
        else None
        for type_, match in zip(types, matches, strict=True)
    ]
    recorded, garbled = read_records(posed, known=known, lookup=lookup, rows=rows, group=group)
    return _Stored(
        numbers=known.items,
        fields=numbers.fields,
        links=links,
        recorded=recorded,
        # A part has at most one of a field.
        unusable=tuple(
            sorted((*numbers.unusable, *astray, *garbled), key=lambda one: (one.part, one.field))
        ),
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
