"""Sentences about drives that turn, or would: their power, their speeds and their size."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.quantities import amount, counted
from analyzer.report.wording import (
    Wording,
    always,
    mend_the_cut,
    quantities,
    stands_still,
    times_at_least,
)


def _overload(_: Audit, finding: Finding) -> str:
    return (
        f"The machines ask for {amount(finding.measured, finding.unit)}; the movers give "
        f"{amount(finding.limit, finding.unit)}. The whole network stands still."
    )


def _balance_power(audit: Audit, finding: Finding) -> str:
    if finding.certain == "as far as read":
        return mend_the_cut(audit, finding)
    demand, capacity = quantities(finding)
    missing = amount(demand - capacity, finding.unit)
    return f"Add movers for {missing}, or take out or slow down machines that ask for as much."


def _over_speed(audit: Audit, finding: Finding) -> str:
    stands = stands_still(audit, finding)
    speed, limit = (amount(value, finding.unit) for value in quantities(finding))
    once = " once the network turns" if stands and not finding.throws else ""
    if finding.count == 1:
        turns = "would turn" if stands else "turns"
        return f"A part {turns} at {speed}{once}, where {limit} is allowed."
    turn = "would turn" if stands else "turn"
    return (
        f"{finding.count:,} parts {turn} faster than they may{once}; the fastest at {speed}, where "
        f"{limit} is allowed."
    )


def _slow_down(_: Audit, finding: Finding) -> str:
    speed, limit = quantities(finding)
    return f"Gear the way to it down by {times_at_least(speed / limit)} or more, or slow the mover."


def _too_slow(audit: Audit, finding: Finding) -> str:
    stands = stands_still(audit, finding)
    speed, least = quantities(finding)
    once = " once the network turns" if stands else ""
    rate = f"at {amount(speed, finding.unit)}" if speed else "not at all"
    needs = f"needs {amount(least, finding.unit)}"
    if finding.count == 1:
        turns = "would turn" if stands else "turns"
        return f"A machine {turns} {rate}{once}, and {needs}."
    turn = "would turn" if stands else "turn"
    return (
        f"{finding.count:,} machines {turn} slower than they need to{once}; the worst off turns "
        f"{rate} and {needs}."
    )


def _speed_up(_: Audit, finding: Finding) -> str:
    speed, least = quantities(finding)
    if not speed:
        return "Give its side of the governor a mover, or the governor another speed than 0."
    return f"Gear the way to it up by {times_at_least(least / speed)} or more."


def _thin(audit: Audit, finding: Finding) -> str:
    assert finding.network is not None, "thin headroom is a network's"
    headroom, least = quantities(finding)
    capacity = amount(audit.solution.capacity_power(finding.network), finding.unit)
    if not headroom:
        return f"The machines ask for all of the {capacity} that the movers give."
    return (
        f"Of the {capacity} that the movers give, {amount(headroom, finding.unit)} are left; "
        f"{amount(least, finding.unit)} should be."
    )


def _undriven(audit: Audit, finding: Finding) -> str:
    machines = counted(finding.count, "machine")
    movers = _movers(audit, finding)
    if not movers:
        return f"{machines} and no mover: nothing drives {_them(finding)}."
    none = "its mover does not drive" if movers == 1 else f"none of its {movers:,} movers drives"
    return f"{machines}, and {none}: nothing turns {_them(finding)}."


def _drive_them(audit: Audit, finding: Finding) -> str:
    if finding.certain != "yes":
        return mend_the_cut(audit, finding)
    if _movers(audit, finding):
        return "Set one of its movers going, or see what it would do with --assume-active."
    return f"Couple {_them(finding)} to a mover."


def _movers(audit: Audit, finding: Finding) -> int:
    assert finding.network is not None, f"{finding.rule} is about a network"
    members = audit.networks.members(finding.network)
    types = audit.parts.catalogues.types
    return sum(types[kind].role == "mover" for kind in audit.parts.type[members].tolist())


def _them(finding: Finding) -> str:
    return "it" if finding.count == 1 else "them"


def _nothing_driven(_: Audit, finding: Finding) -> str:
    if finding.count == 1:
        return "A mover turns, and no machine uses it."
    return f"{finding.count:,} movers turn, and no machine uses them."


def _use_it(audit: Audit, finding: Finding) -> str:
    if finding.certain != "yes":
        return mend_the_cut(audit, finding)
    return f"Couple a machine to {_them(finding)}, or leave {_them(finding)} as a reserve."


def _unequal(_: Audit, finding: Finding) -> str:
    speed, rated = (amount(value, finding.unit) for value in quantities(finding))
    if finding.count == 1:
        return f"A mover is dragged along at {speed}; it is rated for {rated}."
    return (
        f"{finding.count:,} movers are dragged along at other speeds than they are rated for; the "
        f"farthest off at {speed}, rated for {rated}."
    )


def _heavy(_: Audit, finding: Finding) -> str:
    size, limit = quantities(finding)
    others = [counted(count, name[:-1]) for name, count in finding.names if name != finding.unit]
    also = f"; also above its limit: {', '.join(others)}" if others else ""
    return (
        f"It has {amount(size, finding.unit)}, where {amount(limit, '').strip()} are the limit"
        f"{also}."
    )


def _nearly(_: Audit, finding: Finding) -> str:
    near = dict(finding.names)
    told = []
    if ends := near.get("ends"):
        meets = "end meets a part that has" if ends == 1 else "ends meet parts that have"
        told.append(f"{ends:,} {meets} no end on that side")
    if rims := near.get("rims"):
        stand = "pair of rims stands" if rims == 1 else "pairs of rims stand"
        told.append(f"{rims:,} {stand} one cell short of a mesh")
    return f"Nearly coupled: {'; '.join(told)}."


DRIVES: Final[Mapping[str, Wording]] = {
    "driving-nothing": Wording(_nothing_driven, _use_it),
    "heavy-network": Wording(
        _heavy,
        always(
            "Split the network, or thin it out where it is most crowded: the places are in the "
            "chunks with most of its parts."
        ),
    ),
    "nearly-coupled": Wording(
        _nearly, always("If they are meant to be coupled, turn or move one of the two.")
    ),
    "over-speed": Wording(_over_speed, _slow_down),
    "overload": Wording(_overload, _balance_power),
    "thin-headroom": Wording(
        _thin, always("Add a mover before the next machine, or take a machine out.")
    ),
    "too-slow": Wording(_too_slow, _speed_up),
    "undriven-machines": Wording(_undriven, _drive_them),
    "unequal-movers": Wording(
        _unequal,
        always(
            "Nothing has to be done: a dragged mover still gives its full rating. Gears between "
            "them would let all turn as rated."
        ),
    ),
}
