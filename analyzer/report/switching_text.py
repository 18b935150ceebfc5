"""Other states of switches and movers for people: what was looked at, and the worst of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.report.clean import shown
from analyzer.report.layout import heading, labelled, paragraph
from analyzer.report.quantities import amount, counted, place
from analyzer.report.throws_text import throws_text
from analyzer.switching.switching import Assembly, Switching, Worst

#: Most assemblies that are told; those with the most findings are, then the largest.
MOST_ASSEMBLIES: Final = 12
_LABEL: Final = 10


def iter_switching(audit: Audit, switching: Switching) -> Iterator[str]:
    """Yield the section on other states.

    Parameters
    ----------
    audit
        The audit that was explored.
    switching
        What was found; without anything to throw the section says so.
    """
    yield "\n"
    yield from heading("Other states of switches and movers", "=")
    yield from paragraph(_summary(switching))
    unit = audit.parts.catalogues.power_unit
    worse = [number for number, one in enumerate(switching.assemblies) if _is_worse(one)]
    worse.sort(key=lambda number: _gravity(switching.assemblies[number], number))
    told = [switching.assemblies[number] for number in sorted(worse[:MOST_ASSEMBLIES])]
    for dimension, group in groupby(told, key=lambda one: one.dimension):
        yield "\n"
        yield from heading(shown(dimension), "-")
        for one in group:
            yield from _assembly(one, unit)
    left = len(worse) - len(told)
    if left:
        yield "\n"
        yield from paragraph(
            f"... and {counted(left, 'more assembly', 'more assemblies')} like that."
        )
    same = len(switching.assemblies) - len(worse)
    if same:
        asks = "assembly asks" if same == 1 else "assemblies ask"
        yield "\n"
        yield from paragraph(
            f"{same:,} {asks} for no more power in any other state; nothing turns faster there, "
            "and nothing breaks that is whole."
        )


def _gravity(one: Assembly, number: int) -> tuple[int, int, int, int]:
    return (-len(one.found), 0 if _thrown(one) else 1, -one.parts, number)


def _is_worse(one: Assembly) -> bool:
    """Tell whether there is more to tell of other states than that nothing is worse there."""
    return bool(one.found) or one.extent != "all" or _thrown(one)


def _thrown(one: Assembly) -> bool:
    """Tell whether another state than the save's is the worst."""
    return any(worst is not None and bool(worst.throws) for worst in (one.demand, one.speed))


def _summary(switching: Switching) -> str:
    assemblies = switching.assemblies
    if not assemblies:
        text = "There is no switch to throw and no mover to set going or to stop."
    else:
        found = sum(len(one.found) + one.more for one in assemblies)
        errors = counted(found, "error") if found else "no error"
        joined = counted(len(assemblies), "assembly", "assemblies")
        text = f"{joined} with something to set: {errors} that the save as it is has not."
    left = []
    if switching.idle:
        left.append(f"{counted(switching.idle, 'switch', 'switches')} that nothing depends on")
    if switching.fixed:
        left.append(f"{counted(switching.fixed, 'state')} that no block property alone sets")
    return f"{text} Left as they are: {', '.join(left)}." if left else text


def _assembly(one: Assembly, unit: str) -> Iterator[str]:
    yield "\n"
    levers = [
        counted(count, noun, plural)
        for count, noun, plural in (
            (one.switches, "switch", "switches"),
            (one.movers, "mover to set", "movers to set"),
        )
        if count
    ]
    title = f"{place(one.anchor)}: {counted(one.parts, 'part')}, {' and '.join(levers)}"
    yield from paragraph(title)
    cut = "; cut, so as far as read" if one.cut else ""
    yield from _field("states", f"{_looked_at(one)}{cut}")
    if one.demand is not None:
        capacity = amount(one.demand.capacity, unit)
        text = f"up to {amount(one.demand.amount, '').strip()} of {capacity}"
        yield from _field("demand", f"{text}, {_how(one.demand)}")
    if one.speed is not None:
        text = f"up to {amount(one.speed.amount, 'rpm')} at {place(one.speed.at)}"
        yield from _field("speed", f"{text}, {_how(one.speed)}")
    if one.bound is not None:
        yield from _field("any state", _bound(one, unit))
    if one.found:
        yield from _field("errors", _found(one))


def _field(label: str, text: str) -> Iterator[str]:
    yield from labelled(label, text, indent=2, width=_LABEL)


def _looked_at(one: Assembly) -> str:
    total = "more than 2^64" if one.states is None else f"{one.states:,}"
    match one.extent:
        case "all":
            if one.pieces:
                behind = counted(one.pieces, "piece")
                return f"all {total}, with {behind} apart: {one.solved:,} solved"
            return f"all {total}"
        case "doubles":
            return f"those within two changes of the save's, of {total}"
        case "singles":
            return f"those within one change of the save's, of {total}"
        case "none":
            return f"the save's alone, of {total}"


def _how(worst: Worst) -> str:
    return f"with {throws_text(worst.throws)}" if worst.throws else "as the save is"


def _bound(one: Assembly, unit: str) -> str:
    assert one.bound is not None, "only where there is one"
    bound = one.bound
    if bound.demand is None:
        return f"capacity at most {amount(bound.capacity, unit)}; no bound on demand and speed"
    return (
        f"demand at most {amount(bound.demand, unit)}, capacity at most "
        f"{amount(bound.capacity, unit)}, speed at most {amount(bound.speed, 'rpm')}"
    )


def _found(one: Assembly) -> str:
    rules = _counts([finding.rule for finding in one.found])
    more = f", and {one.more:,} more that are not listed" if one.more else ""
    return f"{rules}: see above{more}"


def _counts(rules: Sequence[str]) -> str:
    return ", ".join(
        f"{rule} {len(list(group)):,}" if rules.count(rule) > 1 else rule
        for rule, group in groupby(sorted(rules))
    )
