"""Big mechanisms of the demo's parts: a line, a grid, a comb, and many small networks.

Positions are made as arrays, so that a million parts take no longer to write down than to solve.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState, parse_block_state
from analyzer.catalogue.catalogue import Catalogues
from analyzer.catalogue.load import load_catalogues
from analyzer.parts.make import make_parts
from analyzer.parts.parts import Parts
from analyzer.save.scan.bare import no_bare_blocks
from analyzer.save.scan.scan import (
    Candidates,
    Coverage,
    Leftovers,
    Readings,
    RegionCoverage,
    SaveFacts,
    Scan,
    SlotStatus,
)

_STATES: Final = (
    "tide_wheel[facing=east]",
    "line_shaft[axis=x]",
    "strand_layer[facing=east]",
    "trundle_12[axis=y]",
    "tide_wheel[facing=up]",
    "bevel_box[facing=east]",
    "line_shaft[axis=z]",
)
_WHEEL, _SHAFT, _LAYER, _GEAR, _WHEEL_UP, _BEVEL, _ACROSS = range(len(_STATES))


@dataclass(frozen=True, eq=False)
class Blocks:
    """Positions, int32, shape (n, 3), and the state of each, int32, shape (n,)."""

    xyz: npt.NDArray[np.int32]
    state: npt.NDArray[np.int32]


def line(parts: int) -> Blocks:
    """One row: a wheel and shafts."""
    xyz = np.zeros((parts, 3), np.int32)
    xyz[:, 0] = np.arange(parts)
    state = np.full(parts, _SHAFT, np.int32)
    state[0] = _WHEEL
    return Blocks(xyz, state)


def grid(parts: int) -> Blocks:
    """A square of gears that all mesh with their neighbours, and a wheel under the first."""
    side = round((parts - 1) ** 0.5)
    at = np.arange(side * side)
    xyz = np.zeros((side * side + 1, 3), np.int32)
    xyz[1:, 0], xyz[1:, 2] = at // side, at % side
    xyz[0] = (0, -1, 0)
    state = np.full(len(xyz), _GEAR, np.int32)
    state[0] = _WHEEL_UP
    return Blocks(xyz, state)


def comb(parts: int) -> Blocks:
    """A row of bevel boxes with a long shaft to the south from every second one."""
    teeth = round((parts / 2) ** 0.5)
    length = 2 * teeth
    spine = np.zeros((2 * teeth, 3), np.int32)
    spine[:, 0] = np.arange(len(spine))
    at = np.arange(teeth * length)
    tooth = np.zeros((len(at), 3), np.int32)
    tooth[:, 0], tooth[:, 2] = 1 + 2 * (at // length), 1 + at % length
    along = np.where(np.arange(len(spine)) % 2, _BEVEL, _SHAFT)
    along[0] = _WHEEL
    states = np.concatenate([along, np.full(len(at), _ACROSS)])
    return Blocks(np.concatenate([spine, tooth]), states.astype(np.int32))


def halls(parts: int) -> Blocks:
    """Rows of a hundred, apart from each other: a wheel, shafts, and a layer at the end."""
    rows = parts // 100
    at = np.arange(rows * 100)
    xyz = np.zeros((len(at), 3), np.int32)
    xyz[:, 0], xyz[:, 1] = at % 100, 2 * (at // 100 % 100)
    xyz[:, 2] = 2 * (at // 10_000)
    state = np.full(len(at), _SHAFT, np.int32)
    state[at % 100 == 0], state[at % 100 == 99] = _WHEEL, _LAYER
    return Blocks(xyz, state)


SHAPES: Final[dict[str, Callable[[int], Blocks]]] = {
    "line": line,
    "grid": grid,
    "comb": comb,
    "halls": halls,
}


@cache
def quayworks() -> Catalogues:
    """The demo's catalogue."""
    return load_catalogues(["quayworks"])


def scan_of(blocks: Blocks) -> Scan:
    """Return the scan of a save in which nothing else stands, read whole."""
    order = np.lexsort(blocks.xyz.T[::-1])
    xyz, state = blocks.xyz[order], blocks.state[order]
    states = tuple(parse_block_state(f"quayworks:{one}") for one in _STATES)
    entities = tuple(sorted({_entity(one) for one in states}))
    of_state = np.array([entities.index(_entity(one)) for one in states], np.int16)
    none = np.empty(0, np.int32)
    return Scan(
        dimensions=("minecraft:overworld",),
        candidates=Candidates(
            dimension=np.zeros(len(state), np.int16),
            xyz=xyz,
            state=state,
            entity=of_state[state],
            data_version=np.full(len(state), 3955, np.int32),
            readings=Readings(
                row=none,
                path=none.astype(np.int16),
                tag=none.astype(np.int8),
                integer=none.astype(np.int64),
                real=none.astype(np.float64),
            ),
            states=states,
            entities=entities,
            paths=(),
        ),
        coverage=_read_whole(xyz),
        leftovers=Leftovers(),
        facts=SaveFacts("Bench", (3955,), None),
        bare=no_bare_blocks(),
    )


def parts_of(scan: Scan) -> Parts:
    """Return the parts of a scan."""
    return make_parts(scan, quayworks())


def _entity(state: BlockState) -> str:
    entry = next(kind for kind in quayworks().types if kind.block == state.name)
    return entry.entities[0]


def _read_whole(xyz: npt.NDArray[np.int32]) -> Coverage:
    """Cover the blocks and a chunk's width round them."""
    low, high = xyz[:, ::2].min(axis=0) - 16 >> 9, xyz[:, ::2].max(axis=0) + 16 >> 9
    status = bytes([SlotStatus.READ]) * 1024
    return Coverage(
        tuple(
            RegionCoverage(0, rx, rz, f"region/r.{rx}.{rz}.mca", status)
            for rx in range(int(low[0]), int(high[0]) + 1)
            for rz in range(int(low[1]), int(high[1]) + 1)
        ),
        (),
    )
