"""Rims a cell aside of a mesh, and ends that face each other without being coupled."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.base.policy import Policy
from analyzer.pipeline.audit import audit_save
from tests.support.saves import save_of
from tests.support.sketch import sketch


def hints(folder: Path, text: str) -> list[dict[str, int]]:
    save = save_of(folder, sketch(text))
    audit = audit_save(save, catalogues=["quayworks"], policy=Policy(hints=True))
    return [dict(one.names) for one in audit.findings.items if one.rule == "nearly-coupled"]


@pytest.mark.parametrize(
    ("plan", "rims"),
    [
        # Near rims about z: one cell aside, along their axis or across it.
        ("t12:z .\n. t12:z", 1),
        ("t12:z .\n---\n. t12:z", 1),
        # Two cells aside are too far.
        ("t12:z .\n. .\n. t12:z", 0),
    ],
)
def test_rims_one_cell_aside_of_a_mesh_are_told(tmp_path: Path, plan: str, rims: int) -> None:
    assert sum(found.get("rims", 0) for found in hints(tmp_path, plan)) == rims


@pytest.mark.parametrize(
    "plan",
    [
        "wheel:e clutch:x,lever=out shaft:x",
        "wheel:n\nclutch:z,lever=out\nshaft:z",
        "shaft:y\n---\nclutch:y,lever=out\n---\nshaft:y",
    ],
)
def test_ends_that_face_each_other_across_an_open_clutch_are_no_hint(
    tmp_path: Path, plan: str
) -> None:
    assert hints(tmp_path, plan) == []
