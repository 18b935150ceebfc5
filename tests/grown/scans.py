"""A build as the tool's reader would hand it on, without the files."""

from __future__ import annotations

import struct
from typing import Any

import numpy as np

from analyzer.base.block import BlockState
from analyzer.catalogue.catalogue import Catalogues, DataPath
from analyzer.catalogue.wanted import wanted_blocks, wanted_paths
from analyzer.save.scan import (
    Candidates,
    Coverage,
    Leftovers,
    Readings,
    RegionCoverage,
    SaveFacts,
    Scan,
    SlotStatus,
)
from tests.judge.entries import Placement
from tests.judge.stored import Tagged, follow

TAGS = {
    "byte": 1,
    "short": 2,
    "int": 3,
    "long": 4,
    "float": 5,
    "double": 6,
    "string": 8,
    "int_array": 11,
}


def scan_of(build: list[Placement], catalogues: Catalogues) -> Scan:
    """Return a scan that read every chunk of a build and of the regions round it."""
    dimensions = tuple(sorted({placement.dimension for placement in build}))
    paths_of, blocks = wanted_paths(catalogues), wanted_blocks(catalogues)
    kept = [one for one in build if _id(one) in paths_of or one.block in blocks]
    kept.sort(key=lambda placement: placement.place)
    states = sorted({_state(placement) for placement in kept})
    entities = tuple(sorted(paths_of))
    paths = tuple(sorted({path for paths in paths_of.values() for path in paths}, key=str))
    found = [
        (row, paths.index(path), *reading)
        for row, placement in enumerate(kept)
        for path in sorted(paths_of.get(_id(placement), ()), key=str)
        if (reading := _reading(placement, path)) is not None
    ]
    candidates = Candidates(
        dimension=np.array([dimensions.index(one.dimension) for one in kept], np.int16),
        xyz=np.array([one.at for one in kept], np.int32).reshape(-1, 3),
        state=np.array([states.index(_state(one)) for one in kept], np.int32),
        entity=np.array(
            [entities.index(_id(one)) if _id(one) in paths_of else -1 for one in kept], np.int16
        ),
        readings=Readings(
            row=np.array([one[0] for one in found], np.int32),
            path=np.array([one[1] for one in found], np.int16),
            tag=np.array([one[2] for one in found], np.int8),
            integer=np.array([one[3] for one in found], np.int64),
            real=np.array([one[4] for one in found], np.float64),
        ),
        states=tuple(states),
        entities=entities,
        paths=paths,
    )
    return Scan(
        dimensions=dimensions,
        candidates=candidates,
        coverage=_coverage(build, dimensions),
        leftovers=Leftovers(),
        facts=SaveFacts("grown", (), None),
    )


def _id(placement: Placement) -> str:
    return "" if placement.data is None else placement.data["id"]


def _state(placement: Placement) -> BlockState:
    return BlockState(placement.block, tuple(sorted(placement.properties.items())))


def _reading(placement: Placement, path: DataPath) -> tuple[int, int, float] | None:
    found: Any = follow(placement.data or {}, path)
    if found is None:
        return None
    if not isinstance(found, Tagged):
        return (9 if isinstance(found, list) else 10, 0, 0.0)
    if found.kind == "float":
        (single,) = struct.unpack("<f", struct.pack("<f", found.value))
        return (5, 0, single)
    if found.kind == "double":
        return (6, 0, found.value)
    whole = found.value if isinstance(found.value, int) else 0
    return (TAGS[found.kind], whole, 0.0)


def _coverage(build: list[Placement], dimensions: tuple[str, ...]) -> Coverage:
    steps = (-1, 0, 1)
    regions = {
        (dimensions.index(one.dimension), (one.at[0] >> 9) + dx, (one.at[2] >> 9) + dz)
        for one in build
        for dx in steps
        for dz in steps
    }
    status = bytes([SlotStatus.READ]) * 1024
    return Coverage(
        regions=tuple(
            RegionCoverage(dimension, rx, rz, f"{dimension}/r.{rx}.{rz}.mca", status)
            for dimension, rx, rz in sorted(regions)
        ),
        faults=(),
    )
