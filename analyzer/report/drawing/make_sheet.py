"""Making a drawing sheet of an audit, whole or for some networks."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES
from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.drawing.looks import look_of
from analyzer.report.drawing.sheet import DrawnCouplings, DrawnParts, Mark, Sheet


def make_sheet(audit: Audit, networks: Sequence[int] | None = None) -> Sheet:
    """Lay out what is drawn.

    Parameters
    ----------
    audit
        What to draw.
    networks
        Numbers of the networks to draw; None for all that the user asked about.

    Returns
    -------
    Sheet
        Without a part where nothing was chosen; its marks are then those about no network.
    """
    chosen = audit.selected
    if networks is not None:
        chosen = np.zeros(len(audit.networks), bool)
        chosen[list(networks)] = True
    rows = np.flatnonzero(chosen[audit.networks.network]).astype(np.int32)
    power, powers = _powers(audit, rows)
    couplings, ratios = _couplings(audit, rows)
    return Sheet(
        dimensions=audit.parts.dimensions,
        looks=tuple(map(look_of, audit.parts.catalogues.types)),
        parts=_parts(audit, rows, power),
        couplings=couplings,
        speeds=audit.solution.speeds,
        powers=powers,
        ratios=ratios,
        marks=_marks(audit, chosen),
    )


def _parts(audit: Audit, rows: npt.NDArray[np.int32], power: npt.NDArray[np.int32]) -> DrawnParts:
    parts, networks = audit.parts, audit.networks
    return DrawnParts(
        row=rows,
        dimension=parts.dimension[rows],
        xyz=parts.xyz[rows],
        look=parts.type[rows],
        axis=(POSE_FACES[parts.pose[rows], 0] >> 1).astype(np.int8),
        network=networks.network[rows],
        shaft=networks.shaft[rows],
        speed=audit.solution.speed[rows],
        power=power,
        switched=parts.switch_states()[rows],
    )


def _powers(
    audit: Audit, rows: npt.NDArray[np.int32]
) -> tuple[npt.NDArray[np.int32], tuple[Fraction, ...]]:
    """Return what each part asks for or gives as an index, and the amounts, each once."""
    parts, solution = audit.parts, audit.solution
    torque, rated = parts.column(Field.TORQUE)[rows], parts.column(Field.RATED_RPM)[rows]
    is_machine = np.array([kind.role == "machine" for kind in parts.catalogues.types], bool)
    gives = solution.active[rows] & (torque >= 0) & (rated >= 0)
    asks = is_machine[parts.type[rows]] & (solution.speed[rows] >= 0) & (torque >= 0)
    index = np.full(len(rows), -1, np.int32)
    amounts: dict[Fraction, int] = {}
    for some, speed, speeds in (
        (gives, rated, parts.numbers),
        (asks, solution.speed[rows], solution.speeds),
    ):
        pairs, pair = unique_rows(torque[some], speed[some])
        known = [
            amounts.setdefault(parts.numbers[one] * abs(speeds[other]), len(amounts))
            for one, other in pairs.tolist()
        ]
        index[some] = np.array(known, np.int32)[pair]
    return index, tuple(amounts)


def _couplings(
    audit: Audit, rows: npt.NDArray[np.int32]
) -> tuple[DrawnCouplings, tuple[Fraction, ...]]:
    table, governed = audit.couplings, audit.couplings.governed
    state = audit.parts.switch_states()
    place = np.full(len(audit.parts), -1, np.int32)
    place[rows] = np.arange(len(rows), dtype=np.int32)
    # Couplings never leave a network, so one end that is drawn stands for both.
    fixed = np.flatnonzero(
        _allowed(table.guard_a, state[table.a])
        & _allowed(table.guard_b, state[table.b])
        & (place[table.a] >= 0)
    )
    set_free = np.flatnonzero(
        _allowed(governed.guard_part, state[governed.part])
        & _allowed(governed.guard_other, state[governed.other])
        & (place[governed.part] >= 0)
    )
    used, ratio = np.unique(table.ratio[fixed], return_inverse=True)
    a = place[np.concatenate([table.a[fixed], governed.part[set_free]])]
    b = place[np.concatenate([table.b[fixed], governed.other[set_free]])]
    kind = np.concatenate([table.kind[fixed], governed.kind[set_free]])
    number = np.concatenate([ratio.reshape(-1), np.full(len(set_free), -1)]).astype(np.int32)
    order = np.lexsort((number, kind, b, a))
    found = DrawnCouplings(a=a[order], b=b[order], kind=kind[order], ratio=number[order])
    return found, tuple(table.ratios[int(one)] for one in used)


def _allowed(guard: npt.NDArray[np.int8], state: npt.NDArray[np.int8]) -> npt.NDArray[np.bool_]:
    allowed: npt.NDArray[np.bool_] = (guard < 0) | (guard == state)
    return allowed


def _marks(audit: Audit, chosen: npt.NDArray[np.bool_]) -> tuple[Mark, ...]:
    return tuple(
        _mark(number, finding)
        for number, finding in enumerate(audit.findings.items)
        if finding.network is None or chosen[finding.network]
    )


def _mark(number: int, finding: Finding) -> Mark:
    witness = finding.witness
    return Mark(
        finding=number,
        level=finding.level,
        rule=finding.rule,
        dimension=finding.dimension,
        network=finding.network,
        # Without a first place the others are chunks, which no part stands for.
        places=() if finding.at is None else (finding.at, *finding.also),
        chain=() if witness is None else witness.parts,
        closed=witness is not None and witness.kind == "loop",
    )
