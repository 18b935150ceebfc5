"""Where networks are cut: what reports say about each place."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.save.scan.scan import SlotStatus


@dataclass(frozen=True)
class CutRow:
    """One place where a network is cut.

    Parameters
    ----------
    at
        The part there.
    towards
        The block that was not read, or None where a number of the part cannot be used.
    reason
        Status of the chunk aimed at, or ``unusable-number``.
    """

    at: Block
    towards: Block | None
    reason: str


def cuts_by_network(audit: Audit) -> Mapping[int, Sequence[CutRow]]:
    """Return where each network is cut, by part; a network that is whole is not in it."""
    found: dict[int, dict[CutRow, None]] = defaultdict(dict)
    cuts, parts = audit.couplings.cuts, audit.parts
    for part, towards, status in zip(
        cuts.part.tolist(), cuts.towards.tolist(), cuts.status.tolist(), strict=True
    ):
        row = CutRow(parts.block_at(part), Block(*towards), SlotStatus(status).name.lower())
        found[int(audit.networks.network[part])][row] = None
    for unusable in parts.unusable:
        row = CutRow(parts.block_at(unusable.part), None, "unusable-number")
        found[int(audit.networks.network[unusable.part])][row] = None
    return {network: tuple(rows) for network, rows in found.items()}
