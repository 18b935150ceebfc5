"""Angular velocity is an axial vector: a turned hall turns its speeds, a mirrored one also flips.

One hall with every kind of coupling is built anew as each of the 24 rotations of a cube leaves it,
and as the mirror x = 0 does, with one catalogue throughout: its types have nothing on their right
or left, so a mirrored block is one that lies otherwise. In the mirror a mover that ran clockwise
about its front runs counter-clockwise, which its block says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from analyzer.findings.findings import Finding
from analyzer.solution.solution import Conflict, State
from tests.outside.hall_in_motion import HALL, TYPES, Motion, Piece
from tests.outside.yard import FACES, HEAD, POSES, Vector, add, cross, minus, rpm_by_place, times
from tests.support.audits import audited_text
from tests.support.check import Check, Evidence, Source, checked
from tests.support.saves import save_of

SUBJECT = "Axial vectors"
PSEUDOVECTOR = Source(
    Evidence.PUBLISHED,
    "E. W. Weisstein, Pseudovector, MathWorld: unchanged by inversion, and with one sign more"
    " under an improper rotation",
    "mathworld.wolfram.com/Pseudovector.html",
)
TURNED = Check(
    SUBJECT,
    "F4 turned",
    "a hall with ends, meshes, bevels, belt, chain, governor and reverser, after each of 24"
    " rotations",
    "speeds turn as vectors; states, budgets and findings stay as they are",
    PSEUDOVECTOR,
)
MIRRORED = Check(
    SUBJECT,
    "F4 mirrored",
    "the same hall in the mirror x = 0, after each of 24 rotations",
    "(ωx, ωy, ωz) becomes (ωx, -ωy, -ωz); states, budgets and findings stay as they are",
    PSEUDOVECTOR,
)
#: Blocks between the middles of two halls.
APART = 128


def _rotation(pose: tuple[str, str]) -> Motion:
    """Return the rotation that takes east and up to a pose's front and top."""
    front, top = (FACES[name] for name in pose)
    columns = (front, top, cross(front, top))
    return lambda v: add(*(times(n, column) for n, column in zip(v, columns, strict=True)))


def _mirror(v: Vector) -> Vector:
    """Go through the looking glass x = 0."""
    return (-v[0], v[1], v[2])


def _flip(spin: Vector) -> Vector:
    """Return what becomes of an angular velocity in that glass."""
    return (spin[0], -spin[1], -spin[2])


@dataclass(frozen=True)
class Told:
    """What the tool says of a hall, places counted from its middle: networks by their members."""

    spins: dict[Vector, Vector | None]
    networks: dict[frozenset[Vector], tuple[Any, ...]]
    findings: frozenset[tuple[Any, ...]]

    def carried(self, motion: Motion, spin: Motion) -> Told:
        """Return what is to be said of the hall after a motion that does so to spins."""

        def there(places: frozenset[Vector]) -> frozenset[Vector]:
            return frozenset(map(motion, places))

        return Told(
            {motion(at): None if w is None else spin(w) for at, w in self.spins.items()},
            {there(members): told for members, told in self.networks.items()},
            frozenset((there(places), *told) for places, *told in self.findings),
        )


def _tell(halls: Sequence[Sequence[Piece]]) -> list[Told]:
    """Build halls side by side in one save, and return what the tool says of each."""
    middles: list[Vector] = [(APART * number, 120, 200) for number in range(len(halls))]
    rows = list(zip(middles, halls, strict=True))
    with TemporaryDirectory() as folder:
        blocks = [piece.placed(middle) for middle, hall in rows for piece in hall]
        audit = audited_text(save_of(Path(folder), blocks), HEAD + TYPES)
    rpm, solution = rpm_by_place(audit), audit.solution
    networks: list[dict[frozenset[Vector], tuple[Any, ...]]] = [{} for _ in halls]
    findings: list[set[tuple[Any, ...]]] = [set() for _ in halls]
    for number in range(len(audit.networks)):
        members = [audit.parts.block_at(part) for part in audit.networks.members(number)]
        hall, places = _from_middle(members)
        networks[hall][places] = (
            State(int(solution.state[number])),
            Conflict(int(solution.conflict[number])),
            solution.capacity_power(number),
            solution.demand_power(number),
        )
    for finding in audit.findings.items:
        assert finding.at is not None
        hall, places = _from_middle([finding.at, *finding.also])
        findings[hall].add((places, *_told(finding)))
    return [
        Told(
            {piece.at: piece.spin(rpm[add(middle, piece.at)]) for piece in hall},
            networks[number],
            frozenset(findings[number]),
        )
        for number, (middle, hall) in enumerate(rows)
    ]


def _from_middle(places: Sequence[Vector]) -> tuple[int, frozenset[Vector]]:
    """Return which hall some places belong to, and the places counted from its middle."""
    number = round(places[0][0] / APART)
    return number, frozenset(minus(place, (APART * number, 120, 200)) for place in places)


def _told(finding: Finding) -> tuple[Any, ...]:
    """Return what a finding says besides its places."""
    product = finding.witness.product if finding.witness else None
    return (
        finding.rule,
        finding.level,
        finding.certain,
        finding.count,
        finding.unit,
        # Movers that clash are told with their signs, which a motion may change.
        None if finding.measured is None else abs(finding.measured),
        None if finding.limit is None else abs(finding.limit),
        # A chain may be followed from either of its ends.
        None if product is None else frozenset((product, 1 / product)),
    )


@cache
def _halls() -> tuple[Told, dict[tuple[str, str], Told], dict[tuple[str, str], Told]]:
    """Return what is told of the hall, of the turned ones and of those mirrored besides."""
    turned = [[piece.carried(_rotation(pose)) for piece in HALL] for pose in POSES]
    mirrored = [[piece.carried(_mirror).reversed() for piece in hall] for hall in turned]
    before, *after = _tell([HALL, *turned, *mirrored])
    return (
        before,
        dict(zip(POSES, after[: len(POSES)], strict=True)),
        dict(zip(POSES, after[len(POSES) :], strict=True)),
    )


@checked(TURNED, MIRRORED)
def test_the_hall_shows_every_state() -> None:
    told, _, _ = _halls()
    assert len(told.spins) == len(HALL)
    assert {state for state, *_ in told.networks.values()} == set(State)
    assert {conflict for _, conflict, *_ in told.networks.values()} >= set(Conflict) - {
        Conflict.GOVERNORS
    }
    moving = [spin for spin in told.spins.values() if spin is not None]
    assert all(any(spin[axis] for spin in moving) for axis in range(3))
    # The great network turns to its last part.
    (great,) = (members for members in told.networks if (0, 0, 0) in members)
    assert len(great) == 18
    assert None not in [told.spins[at] for at in great]
    assert {rule for _, rule, *_ in told.findings} >= {
        "loop-conflict",
        "mover-conflict",
        "over-speed",
        "overload",
    }


@checked(TURNED)
@pytest.mark.parametrize("pose", POSES)
def test_a_turned_hall_turns_its_speeds_as_vectors(pose: tuple[str, str]) -> None:
    before, turned, _ = _halls()
    turn = _rotation(pose)
    assert turned[pose] == before.carried(turn, turn)


@checked(MIRRORED)
@pytest.mark.parametrize("pose", POSES)
def test_a_mirrored_hall_mirrors_its_speeds_as_axial_vectors(pose: tuple[str, str]) -> None:
    before, _, mirrored = _halls()
    turn = _rotation(pose)
    assert mirrored[pose] == before.carried(turn, turn).carried(_mirror, _flip)
