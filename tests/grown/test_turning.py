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
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from tests.grown.harvest import grown
from tests.grown.saves import write_build
from tests.grown.told import EVERY_PLACE, judged, stale_places, told
from tests.grown.turn import (
    REFLECTIONS,
    ROTATIONS,
    Mechanism,
    Motion,
    carried,
    expected,
    moved,
    spelled_out,
)
from tests.judge.plain import judge, read_catalogue
from tests.judge.vectors import Vector, minus
from tests.judge.verdicts import Verdict
from tests.judge.views import View

#: Where the middle of a moved build lies.
TARGET: Vector = (515, 128, -3)
#: A build that reaches farther does not fit between the bottom and the top of a world.
FARTHEST = 360


def _audited(folder: Path, mechanism: Mechanism) -> Audit:
    write_build(folder, mechanism.build, empty=mechanism.aims())
    catalogues = load_catalogue_text(mechanism.text, "moved")
    return audit_save(folder, catalogues=catalogues, policy=EVERY_PLACE)


def _verdicts(mechanism: Mechanism) -> list[Verdict]:
    return judge([read_catalogue(mechanism.text)], mechanism.build)


def _check(seed: int, motion: Motion, folder: Path) -> list[Verdict]:
    """Hold a moved build against the build; return the verdicts on it.

    Everything is looked at, gaps and all: a motion takes them across the borders of chunks.
    """
    one = grown(seed)
    everything = View(data_version=one.view.data_version)
    before = judge([one.recipe.catalogue], one.build, everything)
    still = spelled_out(one.recipe.catalogue, one.build, one.view.data_version)
    if not still.build or still.reach() > FARTHEST:
        return []
    shift = minus(TARGET, motion(still.centre()))
    turned = moved(still, motion, shift)
    after = expected(judged(before), still.parts(), motion, shift)
    assert judged(_verdicts(still)) == judged(before)
    assert judged(_verdicts(turned)) == after
    audit = _audited(folder / str(seed), turned)
    assert told(audit) == after
    stale = frozenset(
        (dimension, carried(at, motion, shift))
        for verdict in before
        for dimension, at in verdict.stale
    )
    assert stale_places(audit) in (None, stale)
    return before


@pytest.mark.parametrize("number", range(24))
def test_turning_a_mechanism_turns_its_speeds_as_vectors(number: int, tmp_path: Path) -> None:
    seeds = range(5 * number, 5 * number + 12)
    verdicts = [one for seed in seeds for one in _check(seed, ROTATIONS[number], tmp_path)]
    assert {verdict.state for verdict in verdicts} >= {"idle", "turning"}


@pytest.mark.parametrize("number", range(3))
def test_mirroring_a_mechanism_mirrors_its_speeds_as_axial_vectors(
    number: int, tmp_path: Path
) -> None:
    seeds = range(300 + 50 * number, 350 + 50 * number)
    verdicts = [one for seed in seeds for one in _check(seed, REFLECTIONS[number], tmp_path)]
    assert len({verdict.state for verdict in verdicts}) == 4
    turning = [verdict for verdict in verdicts if verdict.state == "turning"]
    ports = {coupling.port for verdict in verdicts for coupling in verdict.couplings}
    assert ports >= {"front", "right", "left", "rim", "link", "offset"}
    assert any(verdict.driven for verdict in turning)
    assert any(verdict.opened for verdict in verdicts)
    assert any(verdict.stale for verdict in turning)


def test_there_are_24_rotations_and_each_is_another() -> None:
    assert len({rotation((1, 2, 3)) for rotation in ROTATIONS}) == 24
    assert {rotation.handedness for rotation in ROTATIONS} == {1}
    assert {reflection.handedness for reflection in REFLECTIONS} == {-1}
