"""The integer program behind spare power, on knapsacks with more than one limit."""

from __future__ import annotations

import numpy as np
import pytest

from analyzer.advice.spare.program import Row, solve_program
from tests.outside.knapsacks import BURKARDT
from tests.outside.test_knapsacks import SUBJECT
from tests.support.check import Check, Evidence, Source, checked

SACKS = Check(
    SUBJECT,
    "E9",
    "the ten items of E1 in two sacks of 70 and 127",
    "333, as with items 1 and 4 in the first, 2, 3 and 7 in the second",
    Source(
        Evidence.PUBLISHED,
        "S. Martello and P. Toth, Algorithm 632, ACM TOMS 11 (1985) 135-140, problem 1; output as "
        "kept by J. Burkardt",
        "github.com/johannesgerer/jburkardt-f77",
    ),
    why="exact numbers on both sides; by the integer program alone",
)
ASSIGNED = Check(
    SUBJECT,
    "E11",
    "seven jobs for two agents of capacity 11 and 22 (generalised assignment)",
    "40: jobs 1, 2, 4, 6 and 3, 5, 7, with 9 and 18 used",
    Source(
        Evidence.PUBLISHED,
        "output of S. Martello and P. Toth's programs as kept by J. Burkardt, test 4",
        "github.com/johannesgerer/jburkardt-f77",
    ),
    why="exact numbers on both sides; by the integer program alone",
)
MKNAP = Check(
    SUBJECT,
    "E12",
    "6 and 15 items with ten limits each",
    "3800 and 4015",
    Source(
        Evidence.PUBLISHED,
        "J. E. Beasley, OR-Library, mknap1, as kept by it23750760, Knapsack-GA",
        "github.com/it23750760/Knapsack-GA",
    ),
    why="exact numbers on both sides; by the integer program alone",
)


def row(at: range | list[int], by: list[int], *, least: int | None = None, most: int) -> Row:
    return Row(np.array(at, np.int64), by, least, most)


@checked(SACKS)
def test_two_sacks_hold_what_the_source_says() -> None:
    items = BURKARDT["E1"]
    weights, profits = ([int(one) for one in each] for each in (items.weights, items.profits))
    rows = [row(range(10), weights, most=70), row(range(10, 20), weights, most=127)]
    rows += [row([item, 10 + item], [1, 1], most=1) for item in range(10)]
    answer = solve_program(profits + profits, rows, [1] * 20)
    assert answer is not None
    assert (answer.found, answer.bound) == (333, 333)
    sacks = [[item + 1 for item in range(10) if answer.values[at + item]] for at in (0, 10)]
    assert all(
        sum(int(items.weights[item - 1]) for item in sack) <= room
        for sack, room in zip((*sacks, [1, 4], [2, 3, 7]), (70, 127, 70, 127), strict=True)
    )
    assert sum(int(items.profits[item - 1]) for item in (1, 4, 2, 3, 7)) == 333


@checked(ASSIGNED)
def test_jobs_are_assigned_as_the_source_says() -> None:
    weights = [[4, 1, 2, 1, 4, 3, 8], [9, 9, 8, 1, 3, 8, 7]]
    profits = [6, 9, 4, 2, 10, 3, 6, 4, 8, 9, 1, 7, 5, 4]
    rows = [row(range(7), weights[0], most=11), row(range(7, 14), weights[1], most=22)]
    rows += [row([job, 7 + job], [1, 1], least=1, most=1) for job in range(7)]
    answer = solve_program(profits, rows, [1] * 14)
    assert answer is not None
    assert (answer.found, answer.bound) == (40, 40)
    assert answer.values == (1, 1, 0, 1, 0, 1, 0, 0, 0, 1, 0, 1, 0, 1)


SMALL = """
8 12 13 64 22 41/8 12 13 75 22 41/3 6 4 18 6 4/5 10 8 32 6 12/5 13 8 42 6 20/5 13 8 48 6 20
0 0 0 0 8 0/3 0 4 0 8 0/3 2 4 0 8 4/3 2 4 8 8 4
"""
LARGE = """
8 24 13 80 70 80 45 15 28 90 130 32 20 120 40/8 44 13 100 100 90 75 25 28 120 130 32 40 160 40
3 6 4 20 20 30 8 3 12 14 40 6 3 20 5/5 9 6 40 30 40 16 5 18 24 60 16 11 30 25
5 11 7 50 40 40 19 7 18 29 70 21 17 30 25/5 11 7 55 40 40 21 9 18 29 70 21 17 35 25
0 0 1 10 4 10 0 6 0 6 32 3 0 70 10/3 4 5 20 14 20 6 12 10 18 42 9 12 100 20
3 6 9 30 29 20 12 12 10 30 42 18 18 110 20/3 8 9 35 29 20 16 15 10 30 42 20 18 120 20
"""


@checked(MKNAP)
@pytest.mark.parametrize(
    ("profits", "limits", "table", "optimum"),
    [
        ("100 600 1200 2400 500 2000", "80 96 20 36 44 48 10 18 22 24", SMALL, 3800),
        (
            "100 220 90 400 300 400 205 120 160 580 400 140 100 1300 650",
            "550 700 130 240 280 310 110 205 260 275",
            LARGE,
            4015,
        ),
    ],
)
def test_items_with_ten_limits_bring_what_the_source_says(
    profits: str, limits: str, table: str, optimum: int
) -> None:
    worth = list(map(int, profits.split()))
    lines = table.strip().replace("\n", "/").split("/")
    rows = [
        row(range(len(worth)), list(map(int, line.split())), most=int(limit))
        for line, limit in zip(lines, limits.split(), strict=True)
    ]
    answer = solve_program(worth, rows, [1] * len(worth))
    assert answer is not None
    assert (answer.found, answer.bound) == (optimum, optimum)
