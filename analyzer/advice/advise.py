"""Advice about a save: the cheapest ways to mend each finding, each tried by solving again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Final

from analyzer.advice.advice import Advice, Remedy
from analyzer.advice.remedies.clashes import clash_remedies
from analyzer.advice.remedies.loops import loop_remedies
from analyzer.advice.remedies.overload import overload_remedies
from analyzer.advice.remedies.slower import speed_remedies
from analyzer.advice.remedies.subject import Allowed, Subject
from analyzer.advice.workbench import Workbench
from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding

#: What seeks remedies for the findings of each rule.
SEEKERS: Final[Mapping[str, Callable[[Subject], Iterator[Remedy]]]] = MappingProxyType(
    {
        "governor-conflict": clash_remedies,
        "loop-conflict": loop_remedies,
        "mover-conflict": clash_remedies,
        "over-speed": speed_remedies,
        "overload": overload_remedies,
        "too-slow": speed_remedies,
    }
)


def advise_audit(
    audit: Audit,
    allowed: Allowed = Allowed(),  # noqa: B008 (frozen)
    *,
    network: int | None = None,
) -> Advice:
    """Seek the cheapest ways to mend what an audit found.

    Parameters
    ----------
    audit
        The audit of a save.
    allowed
        What may be done, and what it costs.
    network
        Number of the network whose findings are to be mended; None for those of all.

    Returns
    -------
    Advice
        For each error about a network, and each network with machines that are too slow, the
        remedies of every kind that there is, the cheapest first. An audit without such findings
        gives none.
    """
    benches: dict[int, Workbench] = {}
    remedies: dict[str, tuple[Remedy, ...]] = {}
    for finding in audit.findings.items:
        if is_advised(finding) and network in (None, finding.network):
            assert finding.network is not None
            bench = benches.get(finding.network)
            if bench is None:
                bench = Workbench.of_networks(audit, [finding.network])
                benches[finding.network] = bench
            subject = Subject(audit, finding, bench, allowed)
            remedies[finding.fingerprint] = seek(subject)
    return Advice(MappingProxyType(remedies))


def is_advised(finding: Finding) -> bool:
    """Tell whether remedies are sought for a finding."""
    grave = finding.level >= Level.ERROR or finding.rule == "too-slow"
    return grave and finding.network is not None and not finding.throws


def seek(subject: Subject) -> tuple[Remedy, ...]:
    """Return the remedies for one finding, the cheapest first."""
    seeker = SEEKERS.get(subject.finding.rule)
    found = () if seeker is None else seeker(subject)
    return tuple(sorted(found, key=lambda one: (one.cost, one.kind)))
