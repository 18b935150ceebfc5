"""A plain shaft in place of a machine that carries the turning on."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from analyzer.advice.turned import states_of
from analyzer.base.block import BlockState
from analyzer.base.frame_tables import POSE_FACES
from analyzer.catalogue.catalogue import Constant, Field, PartType, Port
from analyzer.couplings.engage import Engaged
from analyzer.findings.audit import Audit


def bypass_state(audit: Audit, engaged: Engaged, part: int) -> BlockState | None:
    """Return a block that carries the turning on as a part does, and uses none.

    Parameters
    ----------
    audit
        The audit.
    engaged
        Which of its couplings are engaged.
    part
        A machine.

    Returns
    -------
    BlockState or None
        The first by name of the transmissions with ends on the same faces of the same cell, at
        the same factors to each other, and nothing else; None where there is none, or the part is
        coupled by anything but its ends.
    """
    parts = audit.parts
    types = parts.catalogues.types
    own = types[int(parts.type[part])]
    wanted = _factors(audit, own, part)
    if wanted is None or not _by_ends_alone(audit, engaged, part):
        return None
    met = {block for type_ in types for meeting in type_.meets for block in meeting.types}
    for type_ in types:
        fits = type_.role == "transmission" and type_.fits == own.fits
        if fits and _is_plain(type_) and type_.block not in met:
            for pose, state in states_of(type_):
                offered = {
                    int(POSE_FACES[pose, end.side]): end.factor.value
                    for end in type_.ends
                    if isinstance(end.factor, Constant)
                }
                if _alike(wanted, offered):
                    return state
    return None


def _factors(audit: Audit, own: PartType, part: int) -> dict[int, Fraction] | None:
    """Return the factors of a part's ends by world face; None if they leave another cell."""
    faces = POSE_FACES[audit.parts.pose[part]]
    found = {}
    for end in own.ends:
        factor = audit.parts.number(part, Field(end.side))
        if any(end.cell) or factor is None:
            return None
        found[int(faces[end.side])] = factor
    return found


def _by_ends_alone(audit: Audit, engaged: Engaged, part: int) -> bool:
    couplings, governed = audit.couplings, audit.couplings.governed
    ports = np.concatenate(
        [
            couplings.port_a[engaged.couplings & (couplings.a == part)],
            couplings.port_b[engaged.couplings & (couplings.b == part)],
            governed.other_port[engaged.governed & (governed.other == part)],
        ]
    )
    return bool((ports < Port.RIM).all())


def _is_plain(type_: PartType) -> bool:
    return (
        type_.rim is None
        and type_.link is None
        and type_.switch is None
        and type_.governor is None
        and not type_.meets
        and all(not any(end.cell) and isinstance(end.factor, Constant) for end in type_.ends)
    )


def _alike(wanted: dict[int, Fraction], offered: dict[int, Fraction]) -> bool:
    if set(wanted) != set(offered):
        return False
    quotients = {offered[face] / factor for face, factor in wanted.items()}
    return len(quotients) == 1
