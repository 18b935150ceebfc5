"""Some pairs of gears that bring a drive within its bounds, found quickly."""

from __future__ import annotations

from fractions import Fraction

from analyzer.advice.remedies.drive import Drive, SpeedChoice, lost_rpm, product, within


def some_speeds(drive: Drive, bound: int) -> SpeedChoice | None:
    """Return a choice made branch by branch from the trunk on: mild gears, where they do.

    Parameters
    ----------
    drive
        The drive.
    bound
        How many pairs of gears have to be put at least, as far as is known.

    Returns
    -------
    SpeedChoice or None
        None where no choice was found so.
    """
    if not within(drive.order[0].lower, drive.order[0].upper, Fraction(1)):
        return None
    chosen = _relieved(drive) if _fits(drive, 0) else _bounded(drive)
    if chosen is None:
        return None
    gears = tuple(sorted(chosen.items()))
    demand, lost = _effect(drive, chosen)
    if drive.capacity is not None and demand > drive.capacity:
        return None
    couplings = drive.couplings(gears)
    return SpeedChoice(couplings, lost, min(bound, len(couplings)), least=False)


def _fits(drive: Drive, row: int, factor: Fraction = Fraction(1)) -> bool:
    whole = drive.whole[row]
    return within(whole.lower, whole.upper, factor)


def _bounded(drive: Drive) -> dict[int, tuple[Fraction, ...]] | None:
    """Bring each branch within its bounds with all behind it, as near the trunk as may be."""
    chosen: dict[int, tuple[Fraction, ...]] = {}
    waiting = [0]
    for row in waiting:
        branch = drive.order[row]
        if not within(branch.lower, branch.upper, Fraction(1)):
            return None
        for child in branch.behind:
            number = drive.number[id(child)]
            if _fits(drive, number):
                continue
            fit = [
                gears
                for gears in drive.gears_before(child, 0, drive.steps)
                if _fits(drive, number, product(gears))
            ]
            if fit:
                mildest = min(fit, key=lambda gears: (len(gears), abs(product(gears) - 1), gears))
                chosen[number] = mildest
            else:
                waiting.append(number)
    return chosen


def _relieved(drive: Drive) -> dict[int, tuple[Fraction, ...]]:
    """Slow what asks for most, one branch after the other, until the demand is met."""
    chosen: dict[int, tuple[Fraction, ...]] = {}
    over = drive.whole[0].demand - (drive.capacity or Fraction(0))
    waiting = list(drive.order[0].behind)
    for child in sorted(waiting, key=lambda one: -drive.whole[drive.number[id(one)]].demand):
        if over <= 0:
            break
        number = drive.number[id(child)]
        fit = [
            gears
            for gears in drive.gears_before(child, 0, drive.steps)
            if gears and product(gears) < 1 and _fits(drive, number, product(gears))
        ]
        whole = drive.whole[number].demand
        enough = [gears for gears in fit if whole * (1 - product(gears)) >= over]
        if enough:
            best = max(enough, key=lambda gears: (-len(gears), product(gears)))
        elif fit:
            best = min(fit, key=product)
        else:
            continue
        chosen[number] = best
        over -= whole * (1 - product(best))
    return chosen


def _effect(drive: Drive, chosen: dict[int, tuple[Fraction, ...]]) -> tuple[Fraction, Fraction]:
    """Return demand and speed lost with some gears, of which none lie behind others."""
    demand, lost = drive.whole[0].demand, Fraction(0)
    for number, gears in chosen.items():
        whole, factor = drive.whole[number], product(gears)
        demand += whole.demand * (factor - 1)
        lost += lost_rpm(whole.rpm, factor)
    return demand, lost
