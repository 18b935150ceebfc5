"""Movers and governors at odds: no fewer of them would have to be changed."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import combinations
from pathlib import Path

import pytest

from analyzer.advice.advice import Cut, Edit, Flip, Remedy, Remove, SetActive, SetNumber
from analyzer.advice.advise import advise_audit
from analyzer.advice.edits import joint_of
from analyzer.advice.workbench import Workbench
from analyzer.base.errors import UsageError
from analyzer.catalogue.catalogue import Field
from analyzer.demo.content import Placement
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from tests.advice.brute import spot_of
from tests.support.saves import save_of
from tests.support.sketch import sketch

#: Halls side by side in one save, so that one audit finds them all.
HALLS = 40
_PARTS = ("shaft:x", "layer:e", "lathe:x", "wheel:e", "wheel:w", "wheel:w", "balls:e", "balls:w")


def _halls(draw: random.Random) -> list[Placement]:
    placements: list[Placement] = []
    for hall in range(HALLS):
        length = draw.randint(4, 7)
        tokens = [draw.choice(_PARTS) for _ in range(length)]
        if hall % 2:
            tokens = [token for token in tokens if "balls" not in token]
        for east, token in enumerate(tokens):
            data = {}
            if token.startswith("balls"):
                data = {token: {"Balls": {"Rpm": draw.choice((-6, 4, 6, 8))}}}
            at = (2 + east + 16 * (hall % 8), 64, 2 + 3 * (hall // 8))
            placements += sketch(token, at, data=data)
    return placements


def _audit(folder: Path, seed: int) -> Audit:
    save = save_of(folder, _halls(random.Random(seed)))
    return audit_save(save, catalogues=["quayworks"])


def _choices(audit: Audit, network: int, kind: str) -> list[Edit]:
    """Return every edit of a kind that could be made to a mover or governor."""
    edits: list[Edit] = []
    types = audit.parts.catalogues.types
    for part in audit.networks.members(network).tolist():
        type_ = types[int(audit.parts.type[part])]
        spot = spot_of(audit, part)
        if type_.role != "mover" and type_.governor is None:
            continue
        if kind == "turn-round" and type_.role == "mover":
            edits.append(Flip(spot))
        elif kind == "remove-parts":
            edits.append(Remove(spot))
        elif kind == "switch-off" and type_.role == "mover":
            edits.append(SetActive(spot, False))
        elif kind == "set" and type_.governor is not None:
            edits += [
                SetNumber(spot, Field.SET_RPM, value)
                for value in sorted({number for number in audit.parts.numbers if number})
            ]
        elif kind == "cut-couplings" and type_.governor is not None:
            governed = audit.couplings.governed
            edits += [
                Cut(joint_of(audit.parts, audit.couplings, len(audit.couplings) + row))
                for row in range(len(governed.part))
                if governed.part[row] == part
            ]
    return edits


def _mended(after: Audit, rule: str) -> bool:
    return rule not in {one.rule for one in after.findings.items}


def _driven(after: Audit) -> bool:
    return bool(after.solution.active.any())


@pytest.mark.parametrize("seed", range(4))
def test_no_fewer_changes_of_any_kind_would_do(seed: int, tmp_path: Path) -> None:
    audit = _audit(tmp_path, seed)
    advice = advise_audit(audit)
    judged = set()
    for finding in audit.findings.items:
        if finding.rule not in ("mover-conflict", "governor-conflict"):
            continue
        assert finding.network is not None
        others = [one for one in audit.findings.items if one.network == finding.network]
        if [one.rule for one in others].count(finding.rule) > 1:
            continue
        remedies: dict[str, Remedy] = {
            one.kind: one for one in advice.remedies[finding.fingerprint]
        }
        bench = Workbench.of_networks(audit, [finding.network])
        for kind in ("turn-round", "remove-parts", "set", "cut-couplings"):
            choices = _choices(audit, finding.network, kind)
            least = _least(bench, choices, finding.rule, 2)
            remedy = remedies.get(kind)
            if least is not None:
                assert remedy is not None, (kind, finding)
                assert len(remedy.trial.edits) == least
                judged.add((finding.rule, kind, least))
            elif remedy is not None:
                assert len(remedy.trial.edits) > 2
    assert len(judged) > 3


def _least(bench: Workbench, choices: Sequence[Edit], rule: str, most: int) -> int | None:
    for count in range(1, most + 1):
        for chosen in combinations(choices, count):
            try:
                after = bench.audit_after(chosen)
            except UsageError:
                continue
            if _mended(after, rule) and _driven(after):
                return count
    return None
