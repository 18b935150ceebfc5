"""Scans made by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from analyzer.base.block import parse_block_state
from analyzer.save.scan.scan import (
    Candidates,
    Coverage,
    Leftovers,
    Readings,
    SaveFacts,
    Scan,
)

Path = tuple[str | int, ...]
INT, LONG, FLOAT, DOUBLE, STRING, LIST, COMPOUND, INTS = 3, 4, 5, 6, 8, 9, 10, 11


@dataclass(frozen=True)
class Found:
    """One candidate: block state, block entity (None without one), stored numbers by path.

    A stored number is a pair of its tag and its value. `version` is the chunk's data version.
    """

    state: str
    entity: str | None = None
    stored: dict[Path, tuple[int, float]] = field(default_factory=dict)
    at: tuple[int, int, int] | None = None
    dimension: int = 0
    version: int = 3465


def scan_of(
    found: Sequence[Found], *, dimensions: tuple[str, ...] = ("minecraft:overworld",)
) -> Scan:
    """Return a scan with those candidates, in a row along x where they have no position."""
    placed = sorted(
        ((one.dimension, one.at or (number, 64, 0), one) for number, one in enumerate(found)),
        key=lambda row: row[:2],
    )
    states = sorted({parse_block_state(one.state) for _, _, one in placed})
    entities = sorted({one.entity for _, _, one in placed if one.entity is not None})
    paths = sorted({path for _, _, one in placed for path in one.stored}, key=repr)
    rows = [
        (row, paths.index(path), tag, value)
        for row, (_, _, one) in enumerate(placed)
        for path, (tag, value) in one.stored.items()
    ]
    candidates = Candidates(
        dimension=np.array([dimension for dimension, _, _ in placed], np.int16),
        xyz=np.array([at for _, at, _ in placed], np.int32).reshape(-1, 3),
        state=np.array(
            [states.index(parse_block_state(one.state)) for _, _, one in placed], np.int32
        ),
        entity=np.array(
            [-1 if one.entity is None else entities.index(one.entity) for _, _, one in placed],
            np.int16,
        ),
        data_version=np.array([one.version for _, _, one in placed], np.int32),
        readings=Readings(
            row=np.array([row for row, _, _, _ in rows], np.int32),
            path=np.array([path for _, path, _, _ in rows], np.int16),
            tag=np.array([tag for _, _, tag, _ in rows], np.int8),
            integer=np.array([int(v) if tag <= 4 else 0 for _, _, tag, v in rows], np.int64),
            real=np.array([v if tag in (FLOAT, DOUBLE) else 0.0 for _, _, tag, v in rows], float),
        ),
        states=tuple(states),
        entities=tuple(entities),
        paths=tuple(paths),
    )
    return Scan(
        dimensions=dimensions,
        candidates=candidates,
        coverage=Coverage((), ()),
        leftovers=Leftovers(),
        facts=SaveFacts("Quay", (), None),
    )
