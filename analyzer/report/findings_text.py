"""The findings of an audit for people: by place, the gravest in full, and never a flood of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.clean import shown
from analyzer.report.cut_rows import CutRow, cuts_by_network
from analyzer.report.finding_text import iter_brief, iter_finding
from analyzer.report.layout import heading, paragraph
from analyzer.report.network_rows import NetworkRow
from analyzer.report.quantities import counted, listed, place

#: Most networks of one dimension whose findings are told; those with the gravest are.
MOST_NETWORKS: Final = 20
#: Most findings about one network that are told in full, the gravest.
MOST_IN_FULL: Final = 2
#: The same for those about no network.
MOST_OF_NO_NETWORK: Final = 6
#: Most findings about one network, or about none, that are told at all.
MOST_FINDINGS: Final = 12
#: Most rules that are named where findings are left out.
_MOST_RULES: Final = 6
#: Most places that are named where one network is cut.
_MOST_CUTS: Final = 1


def iter_findings(audit: Audit, rows: Sequence[NetworkRow], *, save: str) -> Iterator[str]:
    """Yield the section of findings.

    Parameters
    ----------
    audit
        What to report.
    rows
        The networks that were asked about.
    save
        How the save is called on a command line.
    """
    found = audit.findings.items
    levels = Counter(finding.level for finding in found)
    tally = [counted(levels[level], str(level)) for level in sorted(Level, reverse=True)]
    yield "\n"
    yield from heading(f"Findings: {', '.join(tally)}", "=")
    if not found:
        yield from paragraph(_all_clear(audit) if rows else "There was no network to judge.")
    by_number = {row.number: row for row in rows}
    cuts = cuts_by_network(audit)
    for dimension, here in groupby(found, key=lambda finding: finding.dimension):
        yield "\n"
        yield from heading(shown(dimension) if dimension else "The save as a whole", "-")
        groups = {
            network: tuple(group)
            for network, group in groupby(here, key=lambda finding: finding.network)
        }
        told = _gravest(groups)
        for network in told:
            if network is not None:
                yield "\n"
                yield from _network(by_number[network], cuts.get(network, ()))
            in_full = MOST_OF_NO_NETWORK if network is None else MOST_IN_FULL
            yield from _group(audit, groups[network], in_full=in_full, save=save)
        left = [number for number in groups if number not in told]
        if left:
            rest = [finding for network in left for finding in groups[network]]
            yield "\n"
            yield from _left_out(rest, f" about {counted(len(left), 'more network')}", save)


def _all_clear(audit: Audit) -> str:
    if audit.ignored:
        return "Nothing is wrong but what is ignored."
    if audit.policy.off:
        return "Nothing is wrong by the rules that were judged."
    return "Nothing is wrong with what was read and is known."


def _gravest(groups: Mapping[int | None, Sequence[Finding]]) -> list[int | None]:
    """Return the networks to tell, in their order; None stands for what is about no network."""
    networks = [network for network in groups if network is not None]
    # The gravest finding of each comes first.
    gravest = sorted(networks, key=lambda network: (-groups[network][0].level, network))
    chosen = {None, *gravest[:MOST_NETWORKS]}
    return [network for network in groups if network in chosen]


def _group(audit: Audit, findings: Sequence[Finding], *, in_full: int, save: str) -> Iterator[str]:
    for finding in findings[:in_full]:
        yield "\n"
        yield from iter_finding(audit, finding, save=save)
    if len(findings) > in_full:
        yield "\n"
    for finding in findings[in_full:MOST_FINDINGS]:
        yield from iter_brief(audit, finding)
    if len(findings) > MOST_FINDINGS:
        yield from _left_out(findings[MOST_FINDINGS:], "", save)


def _left_out(findings: Sequence[Finding], about: str, save: str) -> Iterator[str]:
    rules = listed(Counter(finding.rule for finding in findings), most=_MOST_RULES)
    count = counted(len(findings), "more finding")
    yield from paragraph(
        f"... and {count}{about}: {rules}. All of them, with the same options:", first="  "
    )
    yield f"  lineshaft audit {save} --format json\n"


def _network(row: NetworkRow, cuts: Sequence[CutRow]) -> Iterator[str]:
    yield from paragraph(
        f"Network at {place(row.anchor)}: {row.state}, {counted(row.parts, 'part')}, "
        f"{counted(row.active_movers, 'active mover')}, {counted(row.machines, 'machine')}"
    )
    for cut in cuts[:_MOST_CUTS]:
        towards = "" if cut.towards is None else f" towards {place(cut.towards)}"
        yield from paragraph(f"cut at {place(cut.at)}{towards}: {cut.reason}", first="  ")
    if len(cuts) > _MOST_CUTS:
        yield f"  ... and cut at {len(cuts) - _MOST_CUTS:,} more places\n"
