"""A hall with every kind of coupling, of types that have nothing on their right or left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

from analyzer.demo.content import Placement, place
from tests.outside.yard import FACES, LIE, NAMES, Item, Vector, add, entry

Motion: TypeAlias = Callable[[Vector], Vector]
EAST, WEST, UP, DOWN, SOUTH, NORTH = FACES.values()
THROUGH = "ends = {front = 1, back = -1}"


@dataclass(frozen=True)
class Piece(Item):
    """A block of the hall, which may say its sense or where its belt leads from here."""

    clockwise: bool = True
    belt: Vector | None = None

    def carried(self, motion: Motion) -> Piece:
        """Return the block as a motion leaves it."""
        assert self.top is not None
        belt = None if self.belt is None else motion(self.belt)
        at, front, top = motion(self.at), motion(self.front), motion(self.top)
        return replace(self, at=at, front=front, top=top, belt=belt)

    def reversed(self) -> Piece:
        """Return the block with the other sense."""
        return replace(self, clockwise=not self.clockwise)

    def placed(self, middle: Vector) -> Placement:
        assert self.top is not None
        x, y, z = map(int, add(middle, self.at))
        lie = f"lie={NAMES[self.front]}_{NAMES[self.top]}"
        state = f"quayworks:{self.name}[{lie},clockwise={str(self.clockwise).lower()}]"
        if self.belt is None:
            return place((x, y, z), state)
        return place((x, y, z), state, {"id": "quayworks:sheave", "To": list(map(int, self.belt))})


def _mover(name: str, torque: int) -> str:
    rated = "rated_rpm = {property = 'clockwise', values = {true = 16, false = -16}}"
    return entry(name, "mover", THROUGH, rated, f"torque = {torque}")


def _gear(name: str, kind: str, teeth: int, *lines: str) -> str:
    rim = f'rim = {{kind = "{kind}", teeth = {teeth}}}'
    return entry(name, "transmission", THROUGH, rim, *lines)


TYPES = "".join(
    (
        _mover("wheel", 40),
        _mover("treadle", 10),
        entry("mill", "machine", "ends = {front = 1}", "torque = 2", "speed_limit_rpm = 20"),
        entry("press", "machine", "ends = {front = 1}", "torque = 50"),
        entry("shaft", "transmission", THROUGH),
        entry("box", "transmission", "ends = {front = 1, back = 1, top = -1, bottom = -1}"),
        entry("riser", "transmission", "ends = {front = 1, back = -1, top = 1.5}"),
        _gear("near_12", "near", 12),
        _gear("near_20", "near", 20),
        _gear("far_24", "far", 24),
        _gear(
            "crown",
            "far",
            30,
            'meets = [{toothed = true, at = [1, 1, 0], types = ["quayworks:near_12"],'
            " contact = [0, 1, 0]}]",
        ),
        entry(
            "sprocket",
            "transmission",
            THROUGH,
            'meets = [{at = [0, 2, 0], types = ["quayworks:shaft"], ratio = [3, 2]}]',
        ),
        f'\n[parts."quayworks:sheave"]\nrole = "transmission"\nentity = ["quayworks:sheave"]\n'
        f"pose = {LIE}\n{THROUGH}\n"
        'link = {crossed = true, diameter = 2, partner = {stored = "To", form = "list",'
        " relative = true}}\n",
        entry("pulley", "transmission", THROUGH, "link = {diameter = 3}"),
        entry(
            "governor",
            "transmission",
            THROUGH,
            'governor = {port = "front", set_rpm = 10, sense = "follow"}',
        ),
        entry(
            "reverser",
            "transmission",
            THROUGH,
            "switch = {kind = 'reverser', flips = 'front', on = 1}",
        ),
    )
)


def _p(name: str, at: Vector, front: Vector, top: Vector, belt: Vector | None = None) -> Piece:
    return Piece(name, at, front, top, belt=belt)


#: One network turns, one is overloaded, one locked by a loop, one by its movers; one is governed,
#: and one idle.
HALL = (
    # A wheel drives a box of bevels, one of whose shafts turns a mill.
    _p("wheel", (0, 0, 0), EAST, UP),
    _p("shaft", (1, 0, 0), EAST, UP),
    _p("box", (2, 0, 0), EAST, UP),
    _p("mill", (3, 0, 0), WEST, UP),
    # Above, a mill is turned too fast, and meshes lead to an axis across.
    _p("riser", (2, 1, 0), UP, EAST),
    _p("shaft", (3, 1, 0), EAST, UP),
    _p("mill", (4, 1, 0), WEST, SOUTH),
    _p("far_24", (2, 2, 0), UP, NORTH),
    _p("near_12", (3, 2, 1), DOWN, WEST),
    _p("near_20", (4, 2, 1), UP, EAST),
    _p("far_24", (2, 3, -1), NORTH, UP),
    _p("mill", (2, 3, -2), SOUTH, EAST),
    # Below, a crown wheel, a crossed belt and a chain.
    _p("crown", (2, -1, 0), DOWN, EAST),
    _p("near_12", (3, -2, 0), EAST, UP),
    _p("sheave", (4, -2, 0), EAST, UP, belt=(0, -3, 1)),
    _p("pulley", (4, -5, 1), WEST, UP),
    _p("sprocket", (5, -5, 1), EAST, UP),
    _p("shaft", (5, -3, 1), WEST, NORTH),
    # Too much for a treadle.
    _p("treadle", (0, 0, 10), UP, SOUTH),
    _p("press", (0, 1, 10), DOWN, SOUTH),
    # Three far rims, each crossing the others.
    _p("wheel", (-1, 0, 20), EAST, UP),
    _p("far_24", (0, 0, 20), EAST, UP),
    _p("far_24", (1, 1, 20), UP, NORTH),
    _p("far_24", (1, 0, 21), SOUTH, UP),
    # Two wheels that push against each other.
    _p("wheel", (0, 0, 30), NORTH, UP),
    _p("shaft", (0, 0, 29), SOUTH, UP),
    _p("wheel", (0, 0, 28), SOUTH, UP),
    # A governor, then a reverser.
    _p("treadle", (0, 0, 40), WEST, UP),
    _p("governor", (-1, 0, 40), WEST, UP),
    _p("reverser", (-2, 0, 40), WEST, UP),
    _p("mill", (-3, 0, 40), EAST, UP),
    # Nothing drives this one.
    _p("shaft", (0, 0, -10), UP, SOUTH),
    _p("mill", (0, 1, -10), DOWN, SOUTH),
)
