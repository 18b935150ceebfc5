"""Trains whose shafts' speeds are known, and the ways in which each is held against the tool."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

import pytest

from tests.outside.hall import Hall, hall
from tests.outside.hall_audit import audited
from tests.outside.trains import Mesh, Motor, solved
from tests.support.check import Check, Evidence, Source, checked

#: The world axis of the shafts and the step from each to the next; the last is diagonal.
LAYOUTS = (("x", (1, 0)), ("z", (0, -1)), ("y", (1, 1)))
#: Far enough apart, in blocks, for halls in one save not to touch.
APART = 30
LOWEST_Y = -50


@dataclass(frozen=True)
class Train:
    """Gears in mesh, and the speed that each shaft has in rpm while the first turns at its own."""

    joints: tuple[Mesh, ...]
    turns: Mapping[str, Fraction]

    @property
    def ends(self) -> tuple[str, str]:
        """The first shaft and the last."""
        return self.joints[0].driver, self.joints[-1].driven


def train(*joints: Mesh, **turns: Fraction | int) -> Train:
    """Make a train of its joints and of the speed of every shaft."""
    return Train(joints, {shaft: Fraction(rpm) for shaft, rpm in turns.items()})


def case(train: Train, *checks: Check) -> object:
    """Make a parameter of a test of a train and what it is held against."""
    return pytest.param(train, marks=checked(*checks), id=checks[0].key)


def computed(subject: str, key: str, what: str, expected: str) -> Check:
    """Make a check of speeds that the source leaves to the reader."""
    source = Source(Evidence.COMPUTED, "products of the numbers of teeth, by hand")
    return Check(subject, key, what, expected, source)


def assert_solved_from_either_end(train: Train, *, others: Sequence[str] = ()) -> None:
    """Hold the solver's speeds against the train's, driven by its first shaft or by its last.

    Parameters
    ----------
    train
        The train.
    others
        Further shafts to drive it by.
    """
    for shaft in (*train.ends, *others):
        assert solved(*train.joints, Motor(shaft, train.turns[shaft])) == train.turns


def assert_built_from_either_end(
    train: Train,
    layouts: Sequence[tuple[str, tuple[int, int] | None]] = LAYOUTS,
    *,
    others: Sequence[str] = (),
) -> None:
    """Hold the command line's speeds of the built train against the train's.

    Parameters
    ----------
    train
        The train.
    layouts
        The axis and the step of every joint, or None where each keeps its own.
    others
        Further shafts to drive it by.
    """
    halls, expected = [], []
    for axis, step in layouts:
        joints = train.joints if step is None else _stepped(train.joints, step)
        for shaft in (*train.ends, *others):
            motor, turns = _driven(train, shaft)
            halls.append(hall(*joints, motor, axis=axis, origin=_origin(halls)))
            expected.append(turns)
    assert _turns(halls) == expected


def assert_order_changes_nothing(train: Train) -> None:
    """Name shafts and joints in other orders, which also lays the gears into other planes."""
    halls, expected = [], []
    for seed in range(3):
        for shaft in train.ends:
            motor, turns = _driven(train, shaft)
            fittings = [*train.joints, motor]
            random.Random(seed).shuffle(fittings)
            assert solved(*fittings) == turns
            halls.append(hall(*fittings, origin=_origin(halls)))
            expected.append(turns)
    assert _turns(halls) == expected


def assert_one_idler_reverses_and_two_do_not(train: Train) -> None:
    """Put idlers into each mesh in turn: what lies behind them is reversed, or as it was."""
    motor, turns = _driven(train, train.ends[0])
    for count in (1, 2):
        halls, expected = [], []
        for behind, joints in _with_idlers(train.joints, count):
            sign = (-1) ** count
            signed = {shaft: sign * w if shaft in behind else w for shaft, w in turns.items()}
            assert signed.items() <= solved(*joints, motor).items()
            halls.append(hall(*joints, motor, origin=_origin(halls)))
            expected.append(signed)
        found = _turns(halls)
        for signed, of_hall in zip(expected, found, strict=True):
            assert signed.items() <= of_hall.items()


def _driven(train: Train, shaft: str) -> tuple[Motor, dict[str, Fraction]]:
    """A motor of whole rpm on some shaft, since a save holds no thirds, and what follows."""
    scale = train.turns[shaft].denominator
    turns = {name: rpm * scale for name, rpm in train.turns.items()}
    return Motor(shaft, turns[shaft]), turns


def _turns(halls: Sequence[Hall]) -> list[dict[str, Fraction | None]]:
    seen = audited(*halls)
    assert [network.state for network in seen.networks] == ["turning"] * len(halls)
    return [seen.turns(each) for each in halls]


def _stepped(joints: Sequence[Mesh], step: tuple[int, int]) -> tuple[Mesh, ...]:
    return tuple(replace(joint, step=step) for joint in joints)


def _with_idlers(
    joints: Sequence[Mesh], count: int
) -> Iterator[tuple[frozenset[str], tuple[Mesh, ...]]]:
    """The shafts behind each joint, and the joints with idlers of odd sizes in its place."""
    for number, joint in enumerate(joints):
        names = [joint.driver, *(f"idler {n}" for n in range(count)), joint.driven]
        teeth = [joint.teeth[0], *(17 + 6 * n for n in range(count)), joint.teeth[1]]
        pairs = zip(pairwise(names), pairwise(teeth), strict=True)
        chain = tuple(Mesh(*shafts, sizes, joint.step) for shafts, sizes in pairs)
        yield _behind(joints, joint.driven), (*joints[:number], *chain, *joints[number + 1 :])


def _behind(joints: Sequence[Mesh], shaft: str) -> frozenset[str]:
    nexts = (joint.driven for joint in joints if joint.driver == shaft)
    return frozenset({shaft}).union(*(_behind(joints, name) for name in nexts))


def _origin(before: Sequence[Hall]) -> tuple[int, int, int]:
    """A place for the next hall: eight on top of each other, then beside them."""
    beside, above = divmod(len(before), 8)
    return (-3 + APART * beside, LOWEST_Y + APART * above, -2)
