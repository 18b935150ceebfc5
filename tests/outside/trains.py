"""Trains of shafts: what is fitted to each, and how fast the solver says that they turn."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from tests.support import mechanism as by_hand

#: A whole number, or one that a float holds exactly.
Number = int | Fraction


@dataclass(frozen=True)
class Mesh:
    """A gear on one shaft in mesh with a gear on another.

    Gears of the same number of teeth on one shaft are one gear. After a diagonal step the gear
    whose shaft lies an odd number of steps above the first is the far one.
    """

    driver: str
    driven: str
    teeth: tuple[int, int]
    step: tuple[int, int] = (1, 0)


@dataclass(frozen=True)
class Belt:
    """A belt from a pulley on one shaft, which stores where it goes, to one on another."""

    driver: str
    driven: str
    diameters: tuple[Number, Number]
    crossed: bool = False
    step: tuple[int, int] = (1, 0)


@dataclass(frozen=True)
class Motor:
    """A mover at the near end of a shaft; its rating is about the positive axis."""

    shaft: str
    rpm: Number
    torque: Number = 1


@dataclass(frozen=True)
class Machine:
    """A machine at the far end of a shaft."""

    shaft: str
    torque: Number


def solved(*fittings: Mesh | Belt | Motor | Machine) -> dict[str, Fraction | None]:
    """Return the speed of every shaft as the solver alone finds it.

    Each shaft and each wheel is a part. Wheels are fixed to their shafts, and parts and couplings
    stand in the order of what is given.
    """
    parts: dict[tuple[str, object], tuple[int, by_hand.Part]] = {}
    couplings: list[tuple[int, int, Fraction]] = []

    def fix(part: tuple[str, object], shaft: str, kind: by_hand.Part = by_hand.SHAFT) -> int:
        for one, its in (((shaft, "shaft"), by_hand.SHAFT), (part, kind)):
            parts.setdefault(one, (len(parts), its))
        return parts[part][0]

    for number, item in enumerate(fittings):
        if isinstance(item, Motor):
            fix((item.shaft, number), item.shaft, by_hand.mover(item.rpm, item.torque))
        elif isinstance(item, Machine):
            fix((item.shaft, number), item.shaft, by_hand.machine(item.torque))
        else:
            sizes = item.teeth if isinstance(item, Mesh) else item.diameters
            sign = 1 if isinstance(item, Belt) and not item.crossed else -1
            driver, driven = (
                fix((shaft, f"{type(item).__name__} {size}"), shaft)
                for shaft, size in zip((item.driver, item.driven), sizes, strict=True)
            )
            ratio = sign * Fraction(sizes[0]) / sizes[1]
            # A coupling is listed from the part that comes first.
            forward = driver < driven
            couplings.append((driver, driven, ratio) if forward else (driven, driver, 1 / ratio))
    hubs = {shaft: number for (shaft, what), (number, _) in parts.items() if what == "shaft"}
    couplings += [
        (hubs[shaft], number, Fraction(1))
        for (shaft, what), (number, _) in parts.items()
        if what != "shaft"
    ]
    case = by_hand.mechanism([kind for _, kind in parts.values()], couplings)
    for (shaft, _), (number, _) in parts.items():
        assert case.solution.speed_rpm(number) == case.solution.speed_rpm(hubs[shaft])
    return {shaft: case.solution.speed_rpm(hub) for shaft, hub in hubs.items()}
