"""The fewest of some items that give enough, and among those sets the one that gives up least."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Final

import numpy as np

from analyzer.advice.advice import Proof
from analyzer.advice.quiet import quiet_milp

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
    needs
        Names of items that are chosen too wherever it is.
    """

    key: int
    gain: Fraction
    loss: Fraction
    needs: frozenset[int] = field(default=frozenset())


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
    count = len(chosen)
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
    """Items alike; those that need others, or are needed, stand by themselves."""

    gain: Fraction
    loss: Fraction
    keys: tuple[int, ...]


@dataclass(frozen=True)
class _Kinds:
    """Kinds, and which need which others, by their numbers."""

    kinds: tuple[_Kind, ...]
    needs: tuple[tuple[int, int], ...]


def _kinds(items: Sequence[Item]) -> _Kinds:
    names = {item.key for item in items}
    alone = {item.key for item in items if item.needs & names}
    alone |= {key for item in items for key in item.needs & names}
    grouped: dict[tuple[Fraction, Fraction, int], list[int]] = {}
    for item in sorted(items, key=lambda one: one.key):
        apart = item.key if item.key in alone else -1
        grouped.setdefault((item.gain, item.loss, apart), []).append(item.key)
    kinds = tuple(
        _Kind(gain, loss, tuple(keys)) for (gain, loss, _), keys in sorted(grouped.items())
    )
    row = {kind.keys[0]: number for number, kind in enumerate(kinds)}
    needs = {(row[item.key], row[other]) for item in items for other in item.needs & names}
    return _Kinds(kinds, tuple(sorted(needs)))


def _fewest(
    items: Sequence[Item], kinds: _Kinds, enough: Fraction
) -> tuple[tuple[int, ...], int] | None:
    """Return some fewest items that suffice, and a bound of their number."""
    total, taken = Fraction(0), []
    for item in sorted(items, key=lambda one: (-one.gain, one.key)):
        if total >= enough:
            break
        taken.append(item.key)
        total += item.gain
    if total < enough:
        return None
    chosen = frozenset(taken)
    if all(item.needs <= chosen for item in items if item.key in chosen):
        return tuple(taken), len(taken)
    found = _solve(kinds, enough, count=None)
    return None if found is None else (found[0], max(math.ceil(found[1]), len(taken)))


def _solve(
    kinds: _Kinds, enough: Fraction, *, count: int | None
) -> tuple[tuple[int, ...], Fraction] | None:
    """Return the best choice and a bound: of so many items by loss, or of any by number."""
    from scipy.optimize import Bounds, LinearConstraint
    from scipy.sparse import csr_array

    if not kinds.kinds:
        return None
    gains, need = _integers([kind.gain for kind in kinds.kinds], enough)
    losses = (
        [kind.loss for kind in kinds.kinds] if count is not None else [Fraction(1)] * len(gains)
    )
    scale = math.lcm(*(loss.denominator for loss in losses))
    prices = [int(loss * scale) for loss in losses]
    rows: list[Any] = [LinearConstraint(np.array([gains], float), float(need), math.inf)]
    if count is not None:
        rows.append(LinearConstraint(np.ones((1, len(gains))), count, count))
    if kinds.needs:
        number = np.arange(len(kinds.needs))
        one, other = np.array(kinds.needs).T
        sides = (np.concatenate([number, number]), np.concatenate([one, other]))
        values = np.repeat([1.0, -1.0], len(number))
        table = csr_array((values, sides), shape=(len(number), len(gains)))
        rows.append(LinearConstraint(table, -math.inf, 0))
    most = np.array([len(kind.keys) for kind in kinds.kinds], float)
    found = quiet_milp(
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
