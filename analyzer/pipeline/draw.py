"""The picture of one network of an audited save."""

from __future__ import annotations

import difflib
from typing import Final, Literal, TypeAlias

import numpy as np

from analyzer.base.errors import UsageError
from analyzer.base.place import network_id
from analyzer.findings.audit import Audit
from analyzer.report.drawing.views import ELEVATION_EAST, ELEVATION_SOUTH, PLAN, View
from analyzer.report.picture.power_picture import power_picture
from analyzer.report.picture.shapes import Picture
from analyzer.report.picture.subject import Subject, subject_of
from analyzer.report.picture.view_picture import view_picture

#: What a network is drawn as.
ViewName: TypeAlias = Literal["plan", "elevation", "power"]

#: Most ids that are offered in place of one that is none.
_MOST_OFFERED: Final = 3


def draw_network(audit: Audit, network: str, view: ViewName = "plan") -> Picture:
    """Return the picture of a network.

    Parameters
    ----------
    audit
        The audit that has the network.
    network
        Its id, such as ``minecraft:overworld:3,64,-20``; the dimension may be left out where that
        is not ambiguous.
    view
        From above; from the south or the east, whichever shows more of it; or as a power diagram.

    Raises
    ------
    UsageError
        Where no network has that id, or several could be meant.
    """
    subject = subject_of(audit, find_network(audit, network))
    if view == "power":
        return power_picture(subject)
    return view_picture(subject, PLAN if view == "plan" else _elevation(subject))


def find_network(audit: Audit, network: str) -> int:
    """Return the number of a network.

    Raises
    ------
    UsageError
        As `draw_network`.
    """
    parts = audit.parts
    ids: dict[str, int] = {}
    for number, anchor in enumerate(audit.networks.anchor.tolist()):
        dimension = parts.dimensions[int(parts.dimension[anchor])]
        ids[network_id(dimension, parts.block_at(anchor))] = number
    if network in ids:
        return ids[network]
    meant = [name for name in ids if name.endswith(f":{network}")]
    if len(meant) == 1:
        return ids[meant[0]]
    if meant:
        raise UsageError(f"{network!r} could be {' or '.join(map(repr, sorted(meant)))}.")
    near = difflib.get_close_matches(network[:200], sorted(ids), _MOST_OFFERED)
    offer = f" Did you mean {' or '.join(map(repr, near))}?" if near else ""
    raise UsageError(
        f"no network {network[:200]!r}.{offer} `lineshaft networks` lists them, and `--format csv` "
        "has their ids."
    )


def _elevation(subject: Subject) -> View:
    xyz = subject.sheet.parts.xyz
    spread = np.ptp(xyz, axis=0)
    return ELEVATION_SOUTH if spread[0] >= spread[2] else ELEVATION_EAST
