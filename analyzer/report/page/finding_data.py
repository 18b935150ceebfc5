"""What a page carries of findings: parallel lists, and the steps of all witnesses as columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from analyzer.base.tables import Interner
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding, Witness
from analyzer.report.clean import shown
from analyzer.report.network_rows import NetworkRow
from analyzer.report.page.columns import coded
from analyzer.report.page.spots import Spots
from analyzer.report.quantities import ratio_text
from analyzer.report.sentences import message, next_command, next_step


def finding_lists(
    audit: Audit,
    rows: Sequence[NetworkRow],
    spots: Spots,
    *,
    dimensions: Interner[str],
    texts: Interner[str],
) -> dict[str, Any]:
    """Return the findings as parallel lists, in their order.

    Parameters
    ----------
    audit
        Whose findings.
    rows
        The networks that were asked about.
    spots
        Where the parts are that findings and witnesses point to.
    dimensions, texts
        Where every dimension's name and every text gets its number.
    """
    found = audit.findings.items
    network = {row.number: place for place, row in enumerate(rows)}
    return {
        "level": [int(one.level) for one in found],
        "rule": [texts(one.rule) for one in found],
        "certain": [texts(one.certain) for one in found],
        "dimension": [dimensions(one.dimension) if one.dimension else -1 for one in found],
        "where": [texts(shown(one.dimension)) for one in found],
        "network": [-1 if one.network is None else network[one.network] for one in found],
        "at": [None if one.at is None else spots(one.dimension, one.at) for one in found],
        "also": [[spots(one.dimension, block) for block in one.also] for one in found],
        "places": [one.count for one in found],
        "message": [texts(message(audit, one)) for one in found],
        "next": [texts(next_step(audit, one)) for one in found],
        "command": [_command(one, texts) for one in found],
        "fingerprint": [one.fingerprint for one in found],
        **_witnesses(found, spots, texts),
    }


def _command(finding: Finding, texts: Interner[str]) -> int:
    # The page is handed on: it does not tell where the save lies on the machine of who made it.
    command = next_command(finding, save="SAVE")
    return -1 if command is None else texts(command)


def _witnesses(found: Sequence[Finding], spots: Spots, texts: Interner[str]) -> dict[str, Any]:
    """Return what there is of each witness, and the steps of all of them one after the other."""
    parts: list[int] = []
    turns: list[int] = []
    for finding in found:
        if finding.witness is None:
            continue
        for number, at in enumerate(finding.witness.parts):
            part = spots(finding.dimension, at)
            assert isinstance(part, int), "a witness is made of parts"
            parts.append(part)
            turns.append(texts(_turns(finding.witness, number)))
    return {
        "length": [0 if one.witness is None else len(one.witness.parts) for one in found],
        "proof": [texts(_proof(one.witness)) for one in found],
        "closed": [int(one.witness is not None and one.witness.kind == "loop") for one in found],
        "steps": coded(np.array(parts, np.int64)),
        "turns": coded(np.array(turns, np.int64)),
    }


def _turns(witness: Witness, number: int) -> str:
    """Return how often a part of a witness turns the next one a turn; empty for the last."""
    if number >= len(witness.ratios):
        return ""
    times = ratio_text(witness.ratios[number])
    return f"sets {times}" if number in witness.governed else times


def _proof(witness: Witness | None) -> str:
    if witness is None:
        return ""
    if witness.kind == "path":
        return "path"
    text = "loop"
    if not witness.governed:
        text = f"loop; once round: {ratio_text(witness.product)}"
    return text if witness.shortest else f"{text}; perhaps not the shortest"
