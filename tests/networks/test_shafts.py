"""Rigid shafts: end to end, about one axis, at one and the same speed."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from analyzer.base.frame import FACES, pose_facing
from analyzer.couplings.couplings import Kind
from analyzer.networks.group import group_networks
from tests.support.mechanism import SHAFT, couplings_table, parts_table


def shafts(*, ratio=1, kind=Kind.SHAFT, facing="east"):
    """Return the shaft of three parts in a row: the first two joined as told, the last a rod."""
    table = couplings_table([(0, 1, ratio), (1, 2, 1)])
    kinds = np.array([kind, Kind.SHAFT], np.int8)
    parts = parts_table([SHAFT] * 3)
    poses = np.array([pose_facing(FACES.index(face)) for face in ("east", facing, facing)], np.int8)
    networks = group_networks(replace(parts, pose=poses), replace(table, kind=kinds))
    return networks.shaft.tolist()


def test_parts_end_to_end_about_one_axis_are_one_shaft():
    assert shafts() == [0, 0, 0]
    assert shafts(facing="west") == [0, 0, 0]


@pytest.mark.parametrize("ratio", [-1, 2, Fraction(1, 2), -2])
def test_parts_at_another_speed_are_not(ratio):
    assert shafts(ratio=ratio) == [0, 1, 1]


@pytest.mark.parametrize("facing", ["up", "south", "down", "north"])
def test_parts_about_another_axis_are_not(facing):
    assert shafts(facing=facing) == [0, 1, 1]


@pytest.mark.parametrize("kind", [Kind.MESH, Kind.LINK, Kind.OFFSET])
def test_parts_that_do_not_meet_end_to_end_are_not(kind):
    assert shafts(kind=kind) == [0, 1, 1]


def test_a_coupling_walked_against_its_order_divides_by_its_ratio():
    table = couplings_table([(0, 2, Fraction(-3, 2)), (1, 2, Fraction(5, 7)), (0, 1, 4)][:2])
    networks = group_networks(parts_table([SHAFT] * 3), table)
    potential = [networks.potentials[index] for index in networks.potential.tolist()]
    assert potential == [1, Fraction(-21, 10), Fraction(-3, 2)]
    assert networks.parent.tolist() == [-1, 2, 0]
    assert networks.parent_coupling.tolist() == [-1, 1, 0]


@pytest.mark.parametrize(("ratio", "clash"), [(2, []), (-2, [1]), (3, [1]), (Fraction(1, 2), [1])])
def test_a_loop_disagrees_by_its_sign_or_by_its_size(ratio, clash):
    # 0 to 1 at 2, 1 to 2 at 1: the coupling from 0 to 2 closes the loop.
    networks = group_networks(
        parts_table([SHAFT] * 3), couplings_table([(0, 1, 2), (0, 2, ratio), (1, 2, 1)])
    )
    # The tree takes both couplings of part 0, so that the third one agrees or not.
    assert networks.disagreeing.tolist() == ([] if not clash else [2])
