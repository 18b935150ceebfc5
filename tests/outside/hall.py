"""Machine halls: shafts with gears, belts, movers and machines, laid out as blocks.

What is fitted to the shafts is said by `Mesh`, `Belt`, `Motor` and `Machine` of `trains`; `hall`
makes blocks of it. All shafts are parallel, every pair of gears or pulleys has a plane of its own
across them, and each shaft lies a step from the one that drives it, so that a train climbs like a
stair. `hall_audit.audited` asks the command line what a hall does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from analyzer.demo.content import Placement, place
from tests.outside.trains import Belt, Machine, Mesh, Motor, Number

At = tuple[int, int, int]
#: A wheel while it is built: its shaft, and its teeth or, of a pulley, the belt's number.
Wheel = tuple[str, object]
#: Blocks on one shaft by their plane: name and kept data.
Rod = dict[int, tuple[str, dict[str, Any]]]


@dataclass(frozen=True)
class Hall:
    """Blocks of a hall, and where those of each shaft are, in order."""

    blocks: tuple[Placement, ...]
    shafts: Mapping[str, tuple[At, ...]]


def hall(
    *fittings: Mesh | Belt | Motor | Machine, axis: str = "x", origin: At = (-3, 64, -2)
) -> Hall:
    """Lay out shafts and what is fitted to them as blocks.

    Parameters
    ----------
    fittings
        What there is, in any order; joints have to hold all shafts together.
    axis
        World axis of all shafts.
    origin
        Where the first plane cuts the shaft named first. The usual one puts the corner of four
        regions into the hall.

    Raises
    ------
    ValueError
        Where a shaft hangs in the air or lies in two columns, or two blocks stand in one place.
    """
    joints = [item for item in fittings if isinstance(item, Mesh | Belt)]
    named = [getattr(item, "driver", None) or getattr(item, "shaft", "") for item in fittings]
    columns = _columns(joints, named[0])
    if lost := set(named) - set(columns):
        raise ValueError(f"nothing holds {sorted(lost)}")
    rods: dict[str, Rod] = {name: {} for name in columns}
    for (shaft, _), plane, what in _wheels(joints, columns, axis):
        if plane in rods[shaft]:
            raise ValueError(f"two wheels of {shaft} would stand in one plane")
        rods[shaft][plane] = what
    for rod in rods.values():
        for plane in range(min(rod, default=0), max(rod, default=0) + 1):
            rod.setdefault(plane, ("shaft", {}))
    for item in fittings:
        if isinstance(item, Motor):
            rod, kept = rods[item.shaft], {"Rpm": _stored(item.rpm), "Torque": _stored(item.torque)}
            rod[min(rod) - 1] = ("motor", kept)
        elif isinstance(item, Machine):
            rod = rods[item.shaft]
            rod[max(rod) + 1] = ("machine", {"Torque": _stored(item.torque)})
    return _built(rods, columns, axis, origin)


def _columns(joints: Sequence[Mesh | Belt], first: str) -> dict[str, tuple[int, int]]:
    """Where each shaft lies, from joint to joint."""
    columns, left = {first: (0, 0)}, list(joints)
    while left:
        joint = next((j for j in left if j.driver in columns or j.driven in columns), None)
        if joint is None:
            raise ValueError(f"nothing holds {left}")
        left.remove(joint)
        (up, across), (dy, dz) = columns.get(joint.driver, (0, 0)), joint.step
        if joint.driver not in columns:
            (up, across) = columns[joint.driven]
            columns[joint.driver] = (up - dy, across - dz)
        elif columns.setdefault(joint.driven, (up + dy, across + dz)) != (up + dy, across + dz):
            raise ValueError(f"{joint} does not close")
    return columns


def _wheels(
    joints: Sequence[Mesh | Belt], columns: Mapping[str, tuple[int, int]], axis: str
) -> Iterator[tuple[Wheel, int, tuple[str, dict[str, Any]]]]:
    """Each wheel with its plane and its block; wheels in mesh share a plane."""
    planes: dict[Wheel, int] = {}
    blocks: dict[Wheel, tuple[str, dict[str, Any]]] = {}
    for number, joint in enumerate(joints):
        pair = _pair(joint, number, columns, axis)
        touched = {planes[wheel] for wheel in pair if wheel in planes}
        planes |= {wheel: number for wheel, plane in planes.items() if plane in touched}
        planes |= dict.fromkeys(pair, number)
        blocks |= pair
    return ((wheel, planes[wheel], blocks[wheel]) for wheel in blocks)


def _pair(
    joint: Mesh | Belt, number: int, columns: Mapping[str, tuple[int, int]], axis: str
) -> dict[Wheel, tuple[str, dict[str, Any]]]:
    shafts = (joint.driver, joint.driven)
    if isinstance(joint, Mesh):
        far = [all(joint.step) and columns[shaft][0] % 2 == 1 for shaft in shafts]
        return {
            (shaft, teeth): (f"{'far_' * odd}gear_{teeth}", {})
            for shaft, teeth, odd in zip(shafts, joint.teeth, far, strict=True)
        }
    name = "crossed_pulley" if joint.crossed else "open_pulley"
    driver, driven = ({"Diameter": _stored(size)} for size in joint.diameters)
    partner = {"Partner": list(_turned(axis, (0, *joint.step)))}
    return {
        (joint.driver, f"belt {number}"): (name, driver | partner),
        (joint.driven, f"belt {number}"): (name, driven),
    }


def _built(
    rods: Mapping[str, Rod], columns: Mapping[str, tuple[int, int]], axis: str, origin: At
) -> Hall:
    blocks: dict[At, Placement] = {}
    shafts = {}
    for shaft, rod in rods.items():
        cells = []
        for plane in sorted(rod):
            steps = zip(origin, _turned(axis, (plane, *columns[shaft])), strict=True)
            x, y, z = (start + step for start, step in steps)
            if (x, y, z) in blocks:
                raise ValueError(f"{shaft} lies in another shaft's column")
            name, data = rod[plane]
            blocks[x, y, z] = block((x, y, z), name, axis, **data)
            cells.append((x, y, z))
        shafts[shaft] = tuple(cells)
    return Hall(tuple(blocks.values()), shafts)


def _turned(axis: str, steps: At) -> At:
    """Steps along the axis and the two after it (x, y, z, x, ...) as steps in the world."""
    along, up, across = steps
    return {"x": (along, up, across), "y": (across, along, up), "z": (up, across, along)}[axis]


def _stored(number: Number) -> int | float:
    number = Fraction(number)
    if Fraction(float(number)) != number:
        raise ValueError(f"no float is {number}")
    return int(number) if number.denominator == 1 else float(number)


def block(at: At, name: str, axis: str, **data: Any) -> Placement:
    """Place a block of the catalogue: ``shaft``, ``gear_20`` (near), ``far_gear_20``, ..."""
    entity = "pulley" if "pulley" in name else "drive"
    kept = {"id": f"quayworks:{entity}", **data} if data else None
    return place(at, f"quayworks:{name}[axis={axis}]", kept)
