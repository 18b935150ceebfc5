"""The explanation of one part for people."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from analyzer.base.exact import decimal_text
from analyzer.base.frame import AXES, FACES
from analyzer.base.frame_tables import POSE_FACES
from analyzer.findings.audit import Audit
from analyzer.findings.explain.explanation import (
    RESTING,
    Driver,
    Explanation,
    Vacancy,
)
from analyzer.findings.findings import Finding
from analyzer.report.clean import shown
from analyzer.report.explain_chain import iter_chain
from analyzer.report.explain_json import share
from analyzer.report.explain_vacant import iter_vacancy
from analyzer.report.explain_wording import cause_text, driver_text
from analyzer.report.finding_text import iter_brief, iter_finding, teleport
from analyzer.report.layout import heading, labelled, paragraph
from analyzer.report.network_rows import NetworkRow, network_row
from analyzer.report.network_table import state_text
from analyzer.report.quantities import amount, counted, exact_of, place

#: Most findings that are told in full.
_MOST_IN_FULL: Final = 4


def iter_explain_text(audit: Audit, told: Explanation | Vacancy, *, save: str) -> Iterator[str]:
    """Yield the report in pieces that end with a line.

    Parameters
    ----------
    audit
        The audit that the position was looked up in.
    told
        What is there.
    save
        How the save is called on a command line.
    """
    if isinstance(told, Vacancy):
        yield from iter_vacancy(audit, told)
        return
    yield from _head(audit, told, network_row(audit, told.network))
    yield "\n"
    yield from heading("Why", "-")
    yield from paragraph(cause_text(audit, told))
    for chain in told.chains:
        yield "\n"
        yield from iter_chain(audit, chain.steps)
    if told.drivers:
        yield from _drivers(audit, told.drivers)
    yield from _findings(audit, told, save)


def _head(audit: Audit, told: Explanation, row: NetworkRow) -> Iterator[str]:
    parts = audit.parts
    at = parts.block_at(told.part)
    kind = parts.catalogues.types[int(parts.type[told.part])]
    front = int(POSE_FACES[parts.pose[told.part], 0])
    yield from heading(f"{shown(kind.block)} at {place(at)}", "=")
    yield from labelled("dimension", shown(row.dimension))
    way = teleport(audit, row.dimension, place(at))
    if way is not None:
        yield f"{'':12}{way}\n"
    yield from labelled("part", f"{kind.role}, front {FACES[front]}, axis {AXES[front >> 1]}")
    yield from labelled("speed", _speed(audit, told, AXES[front >> 1]))
    yield from labelled(
        "network", f"at {place(row.anchor)}: {state_text(row)}, {counted(row.parts, 'part')}"
    )
    yield from labelled("budget", _budget(audit, row))
    yield from labelled("share", _share(audit, told, row, kind.role))


def _speed(audit: Audit, told: Explanation, axis: str) -> str:
    rpm = audit.solution.speed_rpm(told.part)
    if rpm is None:
        return "none"
    exact = exact_of(rpm)
    text = f"{amount(rpm, 'rpm')} about +{axis}, exactly {exact or 'more than can be written'}"
    return f"{text}, once the network turns" if told.cause == "overloaded" else text


def _budget(audit: Audit, row: NetworkRow) -> str:
    unit = shown(audit.parts.catalogues.power_unit)
    given = f"{amount(row.capacity_power, unit)} given"
    if row.demand_power is None or row.headroom_power is None:
        return f"{given}; what is asked for is unknown"
    asked = f"{amount(row.demand_power, unit)} asked for"
    if row.headroom_power < 0:
        return f"{given}, {asked}: {amount(-row.headroom_power, unit)} too few"
    return f"{given}, {asked}, {amount(row.headroom_power, unit)} left"


def _share(audit: Audit, told: Explanation, row: NetworkRow, role: str) -> str:
    if role == "transmission":
        return "none: it only carries the turning"
    if told.power is None:
        if role == "mover":
            return "none: it does not drive"
        return "none: it is at rest" if told.cause in RESTING else "unknown"
    shares = [f"{amount(told.power, shown(audit.parts.catalogues.power_unit))}"]
    wholes = [(row.demand_power, "all that is asked for")] if role == "machine" else []
    for whole, name in (*wholes, (row.capacity_power, "all that is given")):
        part = share(told.power, whole)
        if part is not None:
            shares.append(f"{_percent(part)} of {name}")
    return ", ".join(shares)


def _percent(part: Fraction) -> str:
    return f"{decimal_text(part * 100, 1)} %"


def _drivers(audit: Audit, drivers: tuple[Driver, ...]) -> Iterator[str]:
    yield "\n"
    yield from heading("What would drive it", "-")
    for number, driver in enumerate(drivers):
        if number:
            yield "\n"
        yield from paragraph(driver_text(audit, driver))
        if driver.chain:
            yield "\n"
            yield from iter_chain(audit, driver.chain)
        else:
            dimension = audit.parts.dimensions[int(audit.parts.dimension[driver.part])]
            way = teleport(audit, dimension, place(audit.parts.block_at(driver.part)))
            if way is not None:
                yield f"  {way}\n"


def _findings(audit: Audit, told: Explanation, save: str) -> Iterator[str]:
    yield "\n"
    at = audit.parts.block_at(told.part)
    own = [finding for finding in told.findings if at in finding.places]
    others = [finding for finding in told.findings if at not in finding.places]
    yield from heading("Findings that name it", "-")
    yield from _told(audit, own, save)
    yield "\n"
    yield from heading("Other findings about its network", "-")
    yield from _told(audit, others, save)


def _told(audit: Audit, findings: list[Finding], save: str) -> Iterator[str]:
    if not findings:
        yield "none\n"
    for finding in findings[:_MOST_IN_FULL]:
        yield from iter_finding(audit, finding, save=save)
    for finding in findings[_MOST_IN_FULL:]:
        yield from iter_brief(audit, finding)
