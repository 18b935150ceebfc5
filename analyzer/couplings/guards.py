"""What couplings depend on: switches that open or flip their ports, governors that hold them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import Interner, frozen
from analyzer.catalogue.catalogue import PartType
from analyzer.couplings.batch import Rows
from analyzer.couplings.couplings import Governed
from analyzer.parts.parts import Parts


@dataclass(frozen=True, eq=False)
class GuardedRows:
    """Couplings with the switch states they need: 1 on, 0 off, -1 any."""

    rows: Rows
    guard_a: npt.NDArray[np.int8]
    guard_b: npt.NDArray[np.int8]


def guard(parts: Parts, rows: Rows, ratios: Interner[Fraction]) -> GuardedRows:
    """List every coupling once for each switch state in which it is engaged.

    A clutch's port needs it on. A reverser's port is coupled in both states, at opposite ratios.
    """
    anything = np.full(len(rows.a), -1, np.int8)
    guarded = GuardedRows(rows, anything, anything)
    types = parts.catalogues.types
    opens = _port_bits(parts, [_switch_ports(entry, "clutch") for entry in types])
    flips = _port_bits(parts, [_switch_ports(entry, "reverser") for entry in types])
    if not opens.any() and not flips.any():
        return guarded
    guarded = replace(
        guarded,
        guard_a=np.where(_has(opens, rows.a, rows.port_a), 1, -1).astype(np.int8),
        guard_b=np.where(_has(opens, rows.b, rows.port_b), 1, -1).astype(np.int8),
    )
    for side in ("a", "b"):
        guarded = _list_both_states(guarded, ratios, flips, side)
    return _sorted(guarded)


def split_governed(
    parts: Parts, guarded: GuardedRows, ratios: Interner[Fraction]
) -> tuple[GuardedRows, Governed]:
    """Take the couplings through governed ports out, seen from the governor."""
    types = parts.catalogues.types
    governed = _port_bits(
        parts, [() if entry.governor is None else (entry.governor.port,) for entry in types]
    )
    rows = guarded.rows
    by_a = _has(governed, rows.a, rows.port_a)
    by_b = _has(governed, rows.b, rows.port_b)
    inverse = np.array([ratios(1 / value) for value in ratios.items], np.int64)
    first, second = np.flatnonzero(by_a), np.flatnonzero(by_b)

    def column(of_a: npt.NDArray[Any], of_b: npt.NDArray[Any]) -> npt.NDArray[Any]:
        return np.concatenate([of_a[first], of_b[second]])

    part, port = column(rows.a, rows.b), column(rows.port_a, rows.port_b)
    other, other_port = column(rows.b, rows.a), column(rows.port_b, rows.port_a)
    kind = column(rows.kind, rows.kind)
    ratio = column(rows.ratio, inverse[rows.ratio] if len(inverse) else rows.ratio)
    order = np.lexsort((ratio, other_port, port, kind, other, part))
    table = Governed(
        part=frozen(part[order].astype(np.int32)),
        port=frozen(port[order].astype(np.int8)),
        other=frozen(other[order].astype(np.int32)),
        other_port=frozen(other_port[order].astype(np.int8)),
        kind=frozen(kind[order].astype(np.int8)),
        ratio=frozen(ratio[order].astype(np.int32)),
        drives=frozen(~column(by_b, by_a)[order]),
        guard_part=frozen(column(guarded.guard_a, guarded.guard_b)[order].astype(np.int8)),
        guard_other=frozen(column(guarded.guard_b, guarded.guard_a)[order].astype(np.int8)),
    )
    rest = _taken(guarded, np.flatnonzero(~by_a & ~by_b)) if len(part) else guarded
    return rest, table


def _switch_ports(entry: PartType, kind: str) -> tuple[int, ...]:
    return entry.switch.ports if entry.switch is not None and entry.switch.kind == kind else ()


def _port_bits(parts: Parts, ports_of_type: list[tuple[int, ...]]) -> npt.NDArray[np.int64]:
    """Return for each part the bits of the ports that its type names."""
    bits = np.array([sum(1 << port for port in ports) for ports in ports_of_type], np.int64)
    of_part: npt.NDArray[np.int64] = bits[parts.type]
    return of_part


def _has(
    bits: npt.NDArray[np.int64], part: npt.NDArray[np.int32], port: npt.NDArray[np.int8]
) -> npt.NDArray[np.bool_]:
    if not bits.any():
        return np.zeros(len(part), bool)
    has: npt.NDArray[np.bool_] = (bits[part] >> port) & 1 == 1
    return has


def _list_both_states(
    guarded: GuardedRows, ratios: Interner[Fraction], flips: npt.NDArray[np.int64], side: str
) -> GuardedRows:
    """List couplings at a reverser's flipped port twice: as found while off, opposite while on."""
    rows = guarded.rows
    part, port = (rows.a, rows.port_a) if side == "a" else (rows.b, rows.port_b)
    flipped = _has(flips, part, port)
    again = np.flatnonzero(flipped)
    if not len(again):
        return guarded
    opposite = np.array([ratios(-value) for value in ratios.items], np.int64)
    doubled = _taken(guarded, np.concatenate([np.arange(len(rows.a)), again]))
    ratio = doubled.rows.ratio.copy()
    ratio[len(rows.a) :] = opposite[ratio[len(rows.a) :]]
    state = np.concatenate([np.where(flipped, 0, -1), np.ones(len(again), np.int64)])
    state = state.astype(np.int8)
    name = f"guard_{side}"
    needed = np.where(state >= 0, state, getattr(doubled, name))
    return replace(doubled, rows=replace(doubled.rows, ratio=ratio), **{name: needed})


def _sorted(guarded: GuardedRows) -> GuardedRows:
    rows = guarded.rows
    keys = (guarded.guard_b, guarded.guard_a, rows.ratio, rows.port_b, rows.port_a, rows.kind)
    return _taken(guarded, np.lexsort((*keys, rows.b, rows.a)))


def _taken(guarded: GuardedRows, chosen: npt.NDArray[np.int64]) -> GuardedRows:
    return GuardedRows(
        rows=guarded.rows.taken(chosen),
        guard_a=guarded.guard_a[chosen],
        guard_b=guarded.guard_b[chosen],
    )
