"""Worlds too wide for one key a position, and cells of several parts at one position."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analyzer.couplings.find import find_couplings
from analyzer.pipeline.audit import audit_save
from tests.couplings.test_joints import ROD, audited, couplings_of
from tests.couplings.test_ports_meet import LONG
from tests.grown.harvest import grown
from tests.grown.saves import write_build

FAR = 2**31 - 1


@pytest.mark.parametrize("seed", range(30))
def test_a_part_at_the_end_of_the_world_changes_no_coupling_of_the_others(seed, tmp_path):
    one = grown(seed)
    save = tmp_path / "save"
    write_build(save, one.build, data_version=one.view.data_version, gaps=one.gaps)
    audit = audit_save(save, catalogues=one.catalogues)
    near = audit.couplings
    wide = find_couplings(_with_one_far_away(audit.parts), audit.scan.coverage)
    for table, same in ((near, wide), (near.governed, wide.governed), (near.broken, wide.broken)):
        for name, column in vars(table).items():
            if isinstance(column, np.ndarray):
                assert getattr(same, name).tolist() == column.tolist(), name
    cuts = wide.cuts.part < len(audit.parts)
    assert wide.cuts.part[cuts].tolist() == near.cuts.part.tolist()
    assert wide.cuts.towards[cuts].tolist() == near.cuts.towards.tolist()


def test_ends_of_two_parts_that_leave_one_cell_both_couple(tmp_path):
    long, inside, ahead = (4, 64, 4), (7, 64, 4), (8, 64, 4)
    blocks = {
        long: "sketch:long[facing=east]",
        inside: "sketch:rod[facing=east]",
        ahead: "sketch:rod[facing=east]",
    }
    found = couplings_of(audited(tmp_path, [ROD, LONG], blocks))
    assert found == [(long, ahead, 1), (inside, ahead, 1)]


def _with_one_far_away(parts):
    """Put another part like the last one where all coordinates are the greatest."""

    def longer(column):
        return np.concatenate([column, column[-1:]])

    xyz = longer(parts.xyz)
    xyz[-1] = FAR
    return replace(
        parts,
        dimension=longer(parts.dimension),
        xyz=xyz,
        type=longer(parts.type),
        pose=longer(parts.pose),
        state=longer(parts.state),
        fields={field: longer(column) for field, column in parts.fields.items()},
    )
