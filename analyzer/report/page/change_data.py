"""What a page carries of changes: what each does, and what then differs on the drawing.

A change is shown by laying what differs over what the page has of the save: the speed, power and
state of parts, and the budgets of networks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, NamedTuple

import numpy as np

from analyzer.advice.advice import (
    Alongside,
    Cut,
    Edit,
    Flip,
    Gearing,
    Outline,
    Put,
    Remove,
    Trial,
)
from analyzer.base.place import Block
from analyzer.base.tables import Interner
from analyzer.findings.audit import Audit
from analyzer.report.advice_wording import edit_text, outline_text
from analyzer.report.clean import shown
from analyzer.report.drawing.make_sheet import make_sheet
from analyzer.report.drawing.sheet import Sheet
from analyzer.report.network_rows import NetworkRow
from analyzer.report.page.columns import coded
from analyzer.report.page.proposals import Proposal
from analyzer.report.page.spots import Spots
from analyzer.report.quantities import place, ratio_text

#: Most edits of a change that are listed, and most parts that it changes, the first by position.
MOST_EDITS: Final = 60
MOST_PARTS: Final = 5_000
#: What stands for a part that is no longer there.
GONE: Final = -1


@dataclass(frozen=True, eq=False)
class Tables:
    """Where the texts, speeds and amounts of power of a page get their numbers."""

    texts: Interner[str]
    speeds: Interner[Fraction]
    powers: Interner[Fraction | None]


class _Then(NamedTuple):
    """A part as it is, or would be: speed in rpm, power, and what its network does."""

    speed: Fraction | None
    power: Fraction | None
    state: int


def change_lists(
    audit: Audit,
    proposals: Sequence[Proposal],
    rows: Sequence[NetworkRow],
    *,
    spots: Spots,
    tables: Tables,
) -> list[dict[str, Any]]:
    """Return what a page carries of each proposed change, in their order.

    Parameters
    ----------
    audit
        What the page shows.
    proposals
        The changes; without any the list is empty.
    rows
        The networks of the page.
    spots
        Where its parts are.
    tables
        Where texts, speeds and power get their numbers.
    """
    maker = _Maker(audit, {row.id: number for number, row in enumerate(rows)}, spots, tables)
    return [
        {
            "finding": -1 if proposal.finding is None else proposal.finding,
            "told": [[tables.texts(term), tables.texts(said)] for term, said in proposal.told],
            **maker(proposal.trial),
        }
        for proposal in proposals
    ]


class _Maker:
    """Makes the document of one change after the other."""

    def __init__(self, audit: Audit, network: dict[str, int], spots: Spots, tables: Tables) -> None:
        self._unit = shown(audit.parts.catalogues.power_unit)
        self._network, self._spots, self._tables = network, spots, tables

    def __call__(self, trial: Trial) -> dict[str, Any]:
        """Return what the change does, and what then differs."""
        text = self._tables.texts
        before = trial.audits[0]
        return {
            "edits": [self._edit(before, edit) for edit in trial.edits[:MOST_EDITS]],
            "more": max(0, len(trial.edits) - MOST_EDITS),
            "before": [text(self._outline(one)) for one in trial.before],
            "after": [text(self._outline(one)) for one in trial.after],
            "budgets": list(self._budgets(trial)),
            **self._parts(trial),
        }

    def _edit(self, before: Audit, edit: Edit) -> list[Any]:
        mark, dimension, blocks = _mark(edit)
        factor = ratio_text(edit.factor) if isinstance(edit, Gearing) else ""
        text = self._tables.texts
        spots = [self._spots(dimension, block) for block in blocks]
        return [text(edit_text(before, edit)), text(mark), spots, text(factor)]

    def _outline(self, outline: Outline) -> str:
        return f"network at {place(outline.anchor)}: {outline_text(outline, self._unit)}"

    def _budgets(self, trial: Trial) -> Iterator[list[int]]:
        """Yield network, state, and capacity, demand and headroom after the change."""
        power = self._tables.powers
        for outline in trial.after:
            network = self._network.get(outline.id)
            if network is not None:
                yield [
                    network,
                    int(outline.state),
                    power(outline.capacity_power),
                    power(outline.demand_power),
                    power(outline.headroom_power),
                ]

    def _parts(self, trial: Trial) -> dict[str, Any]:
        """Return the drawn parts that differ, as columns."""
        before, after = (_by_place(make_sheet(audit), audit) for audit in trial.audits)
        changed = []
        for (dimension, block), then in before.items():
            now, part = after.get((dimension, block)), self._spots.part(dimension, block)
            if part is not None and now != then:
                changed.append((part, now))
        changed.sort(key=lambda row: row[0])
        kept = changed[:MOST_PARTS]
        speeds, powers = self._tables.speeds, self._tables.powers
        columns = np.array([_numbers(part, now, speeds, powers) for part, now in kept], np.int64)
        part, speed, power, state = columns.reshape(-1, 4).T
        return {
            "parts": coded(part),
            "speed": coded(speed),
            "power": coded(power),
            "state": coded(state),
            "hidden": len(changed) - len(kept),
        }


def _numbers(
    part: int, now: _Then | None, speeds: Interner[Fraction], powers: Interner[Fraction | None]
) -> tuple[int, int, int, int]:
    if now is None:
        return part, -1, -1, GONE
    speed = -1 if now.speed is None else speeds(now.speed)
    return part, speed, -1 if now.power is None else powers(now.power), now.state


def _by_place(sheet: Sheet, audit: Audit) -> dict[tuple[str, Block], _Then]:
    parts = sheet.parts
    states = audit.solution.state[parts.network].tolist()
    found: dict[tuple[str, Block], _Then] = {}
    for dimension, xyz, speed, power, state in zip(
        parts.dimension.tolist(),
        parts.xyz.tolist(),
        parts.speed.tolist(),
        parts.power.tolist(),
        states,
        strict=True,
    ):
        found[sheet.dimensions[dimension], Block(*xyz)] = _Then(
            None if speed < 0 else sheet.speeds[speed],
            None if power < 0 else sheet.powers[power],
            state,
        )
    return found


def _mark(edit: Edit) -> tuple[str, str, tuple[Block, ...]]:
    """Return the words that stand on the drawing, the dimension, and where they stand."""
    if isinstance(edit, Cut | Gearing):
        joint = edit.joint
        words = "uncouple" if isinstance(edit, Cut) else "gears"
        if isinstance(edit, Gearing) and edit.gears is None:
            words = "reversing gear"
        return words, joint.dimension, (joint.first, joint.second)
    words = "set"
    match edit:
        case Remove():
            words = "take away"
        case Put():
            words = "put"
        case Flip():
            words = "turn round"
        case Alongside():
            words = f"add {edit.count:,}"
    return words, edit.spot.dimension, (edit.spot.at,)
