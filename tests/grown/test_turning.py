"""Turning or mirroring a solved mechanism leaves states, magnitudes and budgets as they are.

A rotation carries a part's front and top, and with them everything else. Under a reflection the
places and axes go where the mirror puts them, but angular velocity is an axial vector
(mathworld.wolfram.com/Pseudovector.html): in a mirror across x a wheel on an x axle turns on as
before, one on a y or z axle the other way. A mirrored part has a left-handed frame, which is no
pose of anything; it is the part of a mirrored *type*, with right and left ends swapped and the
rated speed taken the other way round. So the mirrored mechanism has a mirrored catalogue.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.catalogue.load import load_catalogue_text
from analyzer.pipeline.audit import audit_save
from tests.grown.harvest import grown
from tests.grown.saves import write_build
from tests.grown.told import EVERY_PLACE, Told, judged, told
from tests.grown.turn import (
    REFLECTIONS,
    ROTATIONS,
    Mechanism,
    Motion,
    expected,
    moved,
    spelled_out,
)
from tests.judge.plain import judge, read_catalogue
from tests.judge.vectors import Vector, minus

#: Where the first part of a moved build lies.
TARGET: Vector = (515, 128, -3)


def _told(folder: Path, mechanism: Mechanism) -> list[Told]:
    write_build(folder, mechanism.build)
    catalogues = load_catalogue_text(mechanism.text, "moved")
    return told(audit_save(folder, catalogues=catalogues, policy=EVERY_PLACE))


def _judged(mechanism: Mechanism) -> list[Told]:
    return judged(judge([read_catalogue(mechanism.text)], mechanism.build))


def _check(seed: int, motion: Motion, folder: Path) -> set[str]:
    """Hold a moved build against the build; return the states of its networks."""
    one = grown(seed)
    still = spelled_out(one.recipe.catalogue, one.build)
    if not still.build:
        return set()
    shift = minus(TARGET, motion(still.build[0].at))
    turned = moved(still, motion, shift)
    before = judged(one.verdicts)
    after = expected(before, still.parts(), motion, shift)
    assert _judged(still) == before
    assert _judged(turned) == after
    assert _told(folder / str(seed), turned) == after
    return {network.state for network in after}


@pytest.mark.parametrize("number", range(24))
def test_turning_a_mechanism_turns_its_speeds_as_vectors(number: int, tmp_path: Path) -> None:
    states = [_check(seed, ROTATIONS[number], tmp_path) for seed in range(12)]
    assert set.union(*states) == {"idle", "turning", "overloaded", "conflicting"}


@pytest.mark.parametrize("number", range(3))
def test_mirroring_a_mechanism_mirrors_its_speeds_as_axial_vectors(
    number: int, tmp_path: Path
) -> None:
    seeds = range(300 + 40 * number, 340 + 40 * number)
    states = [_check(seed, REFLECTIONS[number], tmp_path) for seed in seeds]
    assert set.union(*states) == {"idle", "turning", "overloaded", "conflicting"}


def test_there_are_24_rotations_and_each_is_another() -> None:
    assert len({rotation((1, 2, 3)) for rotation in ROTATIONS}) == 24
    assert {rotation.handedness for rotation in ROTATIONS} == {1}
    assert {reflection.handedness for reflection in REFLECTIONS} == {-1}
