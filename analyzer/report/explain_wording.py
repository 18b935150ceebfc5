"""Sentences about why a part turns as it does, and what would drive it."""

from __future__ import annotations

import math
from fractions import Fraction

from analyzer.base.exact import decimal_text
from analyzer.findings.audit import Audit
from analyzer.findings.explain.explanation import RESTING, Driver, Explanation
from analyzer.report.clean import shown
from analyzer.report.quantities import amount, counted, place


def cause_text(audit: Audit, told: Explanation) -> str:
    """Return why a part moves, or does not."""
    if told.cause in RESTING:
        return f"It is at rest: {_rest(audit, told)}"
    head = named(audit, told.chains[0].head.part) if told.chains else ""
    match told.cause:
        case "driven":
            return f"It turns, led by {head}."
        case "overloaded":
            return (
                f"It stands still: its network's machines ask for more than its movers give. "
                f"Once that is mended it turns, led by {head}."
            )
        case "out of range":
            return (
                "It has no speed that can be written: the speeds in its zone spread too far. "
                f"It is led by {head}."
            )
        case _:
            return _conflict(audit, told)


def _rest(audit: Audit, told: Explanation) -> str:
    if told.cause == "no mover":
        return "its network has no mover that drives."
    if told.cause == "held":
        governor = named(audit, told.chains[0].steps[_last_governed(told)].part)
        return f"{governor} holds it, since it is set to 0 rpm."
    return (
        "what turns in its network does not drive its side of a governor, and nothing passes "
        "backward through one."
    )


def _last_governed(told: Explanation) -> int:
    steps = told.chains[0].steps
    governed = [number for number, step in enumerate(steps) if step.sets_rpm is not None]
    return governed[-1] - 1 if governed else 0


def _conflict(audit: Audit, told: Explanation) -> str:
    if len(told.chains) < 2:
        if not told.chains:
            return "It cannot turn: the governors of its network contradict each other."
        governor = named(audit, told.chains[0].head.part)
        return f"It cannot turn: what {governor} drives leads back to it at another speed."
    meet = told.chains[0].end.part
    where = "it" if meet == told.part else named(audit, meet)
    whose = "" if meet == told.part else " Nothing in the network turns until they agree."
    asks = {
        "loop": "two ways round a loop",
        "movers": "two movers, or a governor and a mover,",
        "governors": "two governors",
    }[told.cause]
    return f"It cannot turn: {asks} ask {where} for different speeds.{whose}"


def driver_text(audit: Audit, driver: Driver) -> str:
    """Return what would drive a part at rest."""
    who = named(audit, driver.part)
    match driver.kind:
        case "mover" if len(driver.chain) == 1:
            return f"{who} is a mover itself, which does not drive now."
        case "mover":
            steps = counted(len(driver.chain) - 1, "step")
            return f"Nearest in its network, {steps} away: {who}, which does not drive now."
        case "switch":
            count = len(driver.switches)
            what = "switch" if count == 1 else "switches"
            at = " and ".join(place(audit.parts.block_at(one)) for one in driver.switches)
            return f"With the {what} at {at} changed over, {who}, which turns already, drives it."
        case "turning part":
            speed = amount(audit.solution.speed_rpm(driver.part), "rpm")
            return (
                f"Nearest that turns and is not coupled to it, {blocks_away(driver.squared)}: "
                f"{who}, at {speed}."
            )


def named(audit: Audit, part: int) -> str:
    """Return a part by its block and place."""
    parts = audit.parts
    block = shown(parts.catalogues.types[int(parts.type[part])].block)
    return f"{block} at {place(parts.block_at(part))}"


def blocks_away(squared: int) -> str:
    """Return a distance in a straight line.

    >>> blocks_away(9), blocks_away(1)
    ('3 blocks away', '1 block away')
    """
    root = math.isqrt(squared)
    if root * root == squared:
        return f"{counted(root, 'block')} away"
    return f"{decimal_text(Fraction(math.sqrt(squared)), 1)} blocks away"
