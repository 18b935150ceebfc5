"""Many states of a subject solved at once: as so many copies of it side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import Interner, frozen
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.columns import change_columns
from analyzer.couplings.couplings import Couplings
from analyzer.findings.findings import Findings
from analyzer.findings.judge import judge_audit
from analyzer.networks.group import group_networks
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts, no_links, no_records
from analyzer.solution.solution import Solution
from analyzer.solution.solve import solve_networks
from analyzer.switching.subject import State, Subject

#: Parts that are solved at once, unless one state has more.
_AT_ONCE: Final = 20_000


@dataclass(frozen=True, eq=False)
class Tiles:
    """Copies of a subject, one a state, and the networks that they form.

    Copy k has the rows from ``k * size`` on; no coupling leads from one copy to another.
    """

    subject: Subject
    states: tuple[State, ...]
    parts: Parts
    couplings: Couplings
    networks: Networks

    @property
    def size(self) -> int:
        """Parts of one copy."""
        return len(self.subject.parts)

    def solve(self) -> Solution:
        """Solve all copies."""
        return solve_networks(self.parts, self.couplings, self.networks, self.subject.policy)

    def judge(self, solution: Solution) -> Findings:
        """Judge all copies by the rules that are judged in other states."""
        return judge_audit(
            self.subject.scan,
            self.parts,
            self.couplings,
            self.networks,
            solution,
            self.subject.policy,
            np.ones(len(self.networks), bool),
        )


def iter_tiles(subject: Subject, states: Sequence[State]) -> Iterator[Tiles]:
    """Yield the copies of a subject for some states, as many at once as is quick."""
    at_once = max(1, _AT_ONCE // max(1, len(subject.parts)))
    for first in range(0, len(states), at_once):
        chosen = tuple(states[first : first + at_once])
        parts = _parts(subject, chosen)
        couplings = _couplings(subject, len(chosen))
        networks = group_networks(parts, couplings)
        yield Tiles(subject, chosen, parts, couplings, networks)


def _parts(subject: Subject, states: Sequence[State]) -> Parts:
    parts, count = subject.parts, len(states)
    numbers: Interner[Fraction] = Interner(parts.numbers)
    fields = {field: np.tile(column, count) for field, column in parts.fields.items()}
    for copy, state in enumerate(states):
        for key, setting in state:
            lever = subject.levers[key]
            for field, number in lever.settings[setting].numbers:
                column = _column(fields, field, count * len(parts))
                column[copy * len(parts) + lever.part] = numbers(number)
    return replace(
        parts,
        dimension=frozen(np.tile(parts.dimension, count)),
        xyz=frozen(np.tile(parts.xyz, (count, 1))),
        type=frozen(np.tile(parts.type, count)),
        pose=frozen(np.tile(parts.pose, count)),
        state=frozen(np.tile(parts.state, count)),
        numbers=numbers.items,
        fields={field: frozen(column) for field, column in fields.items()},
        unusable=tuple(
            replace(one, part=one.part + copy * len(parts))
            for copy in range(count)
            for one in parts.unusable
        ),
        links=no_links(),
        recorded=no_records(),
    )


def _column(
    fields: dict[Field, npt.NDArray[np.int32]], field: Field, rows: int
) -> npt.NDArray[np.int32]:
    if field not in fields:
        fields[field] = np.full(rows, -1, np.int32)
    return fields[field]


def _couplings(subject: Subject, count: int) -> Couplings:
    couplings, size = subject.couplings, len(subject.parts)

    def moved(column: npt.NDArray[Any]) -> npt.NDArray[Any]:
        """Repeat a column of rows of parts, each copy with rows of its own."""
        firsts = np.arange(count, dtype=column.dtype) * size
        return np.add.outer(firsts, column).reshape(-1)

    def repeated(column: npt.NDArray[Any]) -> npt.NDArray[Any]:
        return np.concatenate([column] * count)

    return replace(
        change_columns(couplings, repeated, moved),
        governed=change_columns(couplings.governed, repeated, moved),
        cuts=change_columns(couplings.cuts, repeated, moved),
        broken=change_columns(couplings.broken, repeated, moved),
    )
