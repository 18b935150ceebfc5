"""The fewest of some items that give enough, and among those sets the one that gives up least."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Final

import numpy as np

from analyzer.advice.advice import Proof

#: Nodes of one integer program: a bound that does not depend on the machine's speed.
NODES: Final = 50_000
#: Largest integer that a program in doubles is trusted with.
_LARGEST: Final = 2**40


@dataclass(frozen=True)
class Item:
    """Something that can be chosen.

    Parameters
    ----------
    key
        Its name; items of one kind are taken in order of their names.
    gain, loss
        What it gives and what is given up for it, at least 0.
    excludes
        Names of items that cannot be chosen with it.
    count
        How many it counts as, at least 1.
    """

    key: int
    gain: Fraction
    loss: Fraction
    excludes: frozenset[int] = field(default=frozenset())
    count: int = 1


@dataclass(frozen=True)
class Chosen:
    """A choice: names, ascending, and how it is known that it is best."""

    keys: tuple[int, ...]
    proof: Proof


def choose_items(items: Sequence[Item], enough: Fraction) -> Chosen | None:
    """Choose the fewest items whose gains reach a sum, then those of least loss.

    Parameters
    ----------
    items
        What there is.
    enough
        The sum to reach, above 0.

    Returns
    -------
    Chosen or None
        None where all of them together do not reach it. The proof is about the number where the
        loss is least as well, else about the loss, with the bound that the program gives.

    Notes
    -----
    An integer program (HiGHS) over kinds of like items; its answer is checked exactly.
    """
    kinds = _kinds(items)
    fewest = _fewest(items, kinds, enough)
    if fewest is None:
        return None
    chosen, least_count = fewest
    counts = {item.key: item.count for item in items}
    count = sum(counts[key] for key in chosen)
    cheap = _solve(kinds, enough, count=count)
    if cheap is None:
        return Chosen(tuple(sorted(chosen)), Proof("none", Fraction(count), Fraction(least_count)))
    keys, bound = cheap
    by_key = {item.key: item for item in items}
    loss = sum((by_key[key].loss for key in keys), Fraction(0))
    exact = least_count == count and bound >= loss
    if exact:
        proof = Proof("program", Fraction(count), Fraction(count))
    elif least_count == count:
        proof = Proof("program", loss, bound)
    else:
        proof = Proof("program", Fraction(count), Fraction(least_count))
    return Chosen(tuple(sorted(keys)), proof)


@dataclass(frozen=True)
class _Kind:
    """Items alike; those that exclude others, or are excluded, stand by themselves."""

    gain: Fraction
    loss: Fraction
    count: int
    keys: tuple[int, ...]


@dataclass(frozen=True)
class _Kinds:
    kinds: tuple[_Kind, ...]
    clashes: tuple[tuple[int, int], ...]


def _kinds(items: Sequence[Item]) -> _Kinds:
    names = {item.key for item in items}
    alone = {item.key for item in items if item.excludes & names}
    alone |= {key for item in items for key in item.excludes & names}
    grouped: dict[tuple[Fraction, Fraction, int, int], list[int]] = {}
    for item in sorted(items, key=lambda one: one.key):
        apart = item.key if item.key in alone else -1
        grouped.setdefault((item.gain, item.loss, item.count, apart), []).append(item.key)
    kinds = tuple(
        _Kind(gain, loss, count, tuple(keys))
        for (gain, loss, count, _), keys in sorted(grouped.items())
    )
    row = {kind.keys[0]: number for number, kind in enumerate(kinds)}
    clashes = {
        (min(row[item.key], row[other]), max(row[item.key], row[other]))
        for item in items
        for other in item.excludes & names
    }
    return _Kinds(kinds, tuple(sorted(clashes)))


def _fewest(
    items: Sequence[Item], kinds: _Kinds, enough: Fraction
) -> tuple[tuple[int, ...], int] | None:
    """Return some fewest items that suffice, and a bound of their number."""
    if kinds.clashes or any(kind.count > 1 for kind in kinds.kinds):
        found = _solve(kinds, enough, count=None)
        return None if found is None else (found[0], math.ceil(found[1]))
    total, taken = Fraction(0), []
    for item in sorted(items, key=lambda one: (-one.gain, one.key)):
        if total >= enough:
            break
        taken.append(item.key)
        total += item.gain
    return (tuple(taken), len(taken)) if total >= enough else None


def _solve(
    kinds: _Kinds, enough: Fraction, *, count: int | None
) -> tuple[tuple[int, ...], Fraction] | None:
    """Return the best choice and a bound: of so many items by loss, or of any by number."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    if not kinds.kinds:
        return None
    counts = [kind.count for kind in kinds.kinds]
    gains, need = _integers([kind.gain for kind in kinds.kinds], enough)
    losses = (
        [kind.loss for kind in kinds.kinds] if count is not None else list(map(Fraction, counts))
    )
    scale = math.lcm(*(loss.denominator for loss in losses))
    prices = [int(loss * scale) for loss in losses]
    rows: list[Any] = [LinearConstraint(np.array([gains], float), float(need), math.inf)]
    if count is not None:
        rows.append(LinearConstraint(np.array([counts], float), count, count))
    if kinds.clashes:
        table = np.zeros((len(kinds.clashes), len(gains)))
        for row, (first, second) in enumerate(kinds.clashes):
            table[row, [first, second]] = 1
        rows.append(LinearConstraint(table, -math.inf, 1))
    most = np.array([len(kind.keys) for kind in kinds.kinds], float)
    found = milp(
        np.array(prices, float),
        constraints=rows,
        integrality=np.ones(len(gains)),
        bounds=Bounds(np.zeros(len(gains)), most),
        options={"node_limit": NODES, "mip_rel_gap": 0.0},
    )
    if found.x is None:
        return None
    keys: list[int] = []
    for number, kind in zip(np.rint(found.x).astype(int).tolist(), kinds.kinds, strict=True):
        keys += kind.keys[:number]
    gain = {key: kind.gain for kind in kinds.kinds for key in kind.keys}
    if sum((gain[key] for key in keys), Fraction(0)) < enough:
        return None
    trusted = max([need, *gains, *prices]) <= _LARGEST
    bound = Fraction(math.ceil(found.mip_dual_bound - 1e-6), scale) if trusted else Fraction(0)
    return tuple(keys), bound


def _integers(values: Sequence[Fraction], least: Fraction) -> tuple[list[int], int]:
    """Return values and a least sum in whole numbers of a common part."""
    scale = math.lcm(least.denominator, *(value.denominator for value in values))
    return [int(value * scale) for value in values], int(least * scale)
