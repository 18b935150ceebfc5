"""Parts for the judge's own tests of governors, and rows of them."""

from __future__ import annotations

from typing import Any

from tests.judge.build import driving, loaded, shaft, solved, speed_at
from tests.judge.verdicts import Verdict

LINE = ((0, 0, 0), (1, 0, 0), (2, 0, 0), (3, 0, 0), (4, 0, 0), (5, 0, 0))


def governor(set_rpm: Any, sense: str = "own", port: str = "front", **more: Any) -> dict[str, Any]:
    return shaft(governor={"port": port, "set_rpm": set_rpm, "sense": sense}, **more)


def in_a_row(entries: dict[str, dict[str, Any]], *parts: tuple[Any, ...]) -> list[Verdict]:
    return solved(entries, dict(zip(LINE, parts, strict=False)))


def speeds(verdicts: list[Verdict], count: int) -> list[Any]:
    return [speed_at(verdicts, *at) for at in LINE[:count]]


ENTRIES = {
    "motor": driving(shaft(), 16, 10),
    "fast": driving(shaft(), 50, 10),
    "still": shaft(),
    "loom": loaded(shaft(), 3),
    "own": governor(6),
    "back": governor(-6),
    "follow": governor(6, "follow"),
    "hold": governor(0),
    "double": governor(6, ends={"back": -1, "front": -2}),
}
