"""What the command line says about spare power."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Callable
    from fractions import Fraction

    from analyzer.advice.spare.spare import Spending

#: Most movers that one --add adds.
MOST_ADDED = 1_000_000


def spending_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options about spare power."""
    options = [
        click.option(
            "--network",
            metavar="ID",
            help="Tell about this network alone, named as `lineshaft networks` lists it; "
            "otherwise spare power is looked into where there is most.",
        ),
        click.option(
            "--goal",
            type=click.Choice(["throughput", "even"]),
            default=None,
            help="What to spend spare power on: throughput (the default) makes the sum of the "
            "machines' speeds greatest, even the least share of what each could use.",
        ),
        click.option(
            "--weight",
            "weights",
            multiple=True,
            metavar="TYPE=W",
            help="Count the speed of machines of this type W times. May be repeated.",
        ),
        click.option(
            "--add",
            "added",
            multiple=True,
            metavar="NxTYPE",
            help="Spend also what so many more movers of a type would give, such as "
            "2xquayworks:tide_wheel. May be repeated.",
        ),
        click.option(
            "--slower",
            is_flag=True,
            help="Let machines turn slower where others then turn faster by more.",
        ),
    ]
    for option in reversed(options):
        command = option(command)
    return command


def spending_of(
    *,
    goal: str | None,
    weights: tuple[str, ...],
    added: tuple[str, ...],
    slower: bool,
    steps: int,
) -> Spending:
    """Return what is asked about spare power.

    Raises
    ------
    UsageError
        Where an option is not understood, or options do not go together.
    """
    from analyzer.advice.spare.spare import Spending
    from analyzer.base.errors import UsageError

    if goal == "even" and weights:
        raise UsageError("--weight is for --goal throughput; even counts every machine alike")
    by_type = dict(map(_weight, weights))
    return Spending(
        goal="even" if goal == "even" else "throughput",
        weights=tuple(sorted(by_type.items())),
        added=tuple(map(_addition, added)),
        steps=steps,
        slower=slower,
    )


def _weight(text: str) -> tuple[str, Fraction]:
    import re
    from fractions import Fraction

    from analyzer.base.errors import UsageError

    name, _, number = text.rpartition("=")
    if not name or not re.fullmatch(r"\d{1,6}(\.\d{1,6})?", number):
        raise UsageError(
            f"--weight {text}: write TYPE=W, such as quayworks:spar_lathe=2.5; W is at least 0"
        )
    return name, Fraction(number)


def _addition(text: str) -> tuple[int, str]:
    import re

    from analyzer.base.errors import UsageError

    found = re.fullmatch(r"(\d{1,7})x(.+)", text)
    if found is None or not 1 <= int(found[1]) <= MOST_ADDED:
        raise UsageError(
            f"--add {text}: write NxTYPE, such as 2xquayworks:tide_wheel; N is from 1 to "
            f"{MOST_ADDED:,}"
        )
    return int(found[1]), found[2]
