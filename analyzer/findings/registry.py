"""The table of rules: what can be found, and how grave it is unless the user says otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final, TypeAlias

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.rules import (
    broken_link,
    catalogue_mismatch,
    cut_network,
    driving_nothing,
    governor_conflict,
    heavy_network,
    loop_conflict,
    mover_conflict,
    nearly_coupled,
    newer_version,
    no_catalogue,
    not_understood,
    nothing_known,
    out_of_range,
    over_speed,
    overload,
    record_missing,
    stale_record,
    thin_headroom,
    too_slow,
    undriven_machines,
    unequal_movers,
    unknown_blocks,
    unread_chunks,
    unusable_number,
)

#: A rule: given a case and the level of its findings, it yields them.
Find: TypeAlias = Callable[[Case, Level], Iterator[Finding]]


@dataclass(frozen=True)
class Rule:
    """One rule: its name, the level of its findings by default, and what finds them."""

    name: str
    level: Level
    find: Find


#: Every rule, by name.
RULES: Final = (
    Rule(broken_link.NAME, Level.WARNING, broken_link.find_broken_links),
    Rule(catalogue_mismatch.NAME, Level.WARNING, catalogue_mismatch.find_catalogue_mismatch),
    Rule(cut_network.NAME, Level.WARNING, cut_network.find_cut_networks),
    Rule(driving_nothing.NAME, Level.NOTE, driving_nothing.find_driving_nothing),
    Rule(governor_conflict.NAME, Level.ERROR, governor_conflict.find_governor_conflicts),
    Rule(heavy_network.NAME, Level.WARNING, heavy_network.find_heavy_networks),
    Rule(loop_conflict.NAME, Level.ERROR, loop_conflict.find_loop_conflicts),
    Rule(mover_conflict.NAME, Level.ERROR, mover_conflict.find_mover_conflicts),
    Rule(nearly_coupled.NAME, Level.NOTE, nearly_coupled.find_nearly_coupled),
    Rule(newer_version.NAME, Level.NOTE, newer_version.find_newer_versions),
    Rule(no_catalogue.NAME, Level.WARNING, no_catalogue.find_no_catalogue),
    Rule(not_understood.NAME, Level.WARNING, not_understood.find_not_understood),
    Rule(nothing_known.NAME, Level.WARNING, nothing_known.find_nothing_known),
    Rule(out_of_range.NAME, Level.ERROR, out_of_range.find_out_of_range),
    Rule(over_speed.NAME, Level.ERROR, over_speed.find_over_speeds),
    Rule(overload.NAME, Level.ERROR, overload.find_overloads),
    Rule(record_missing.NAME, Level.WARNING, record_missing.find_missing_records),
    Rule(stale_record.NAME, Level.WARNING, stale_record.find_stale_records),
    Rule(thin_headroom.NAME, Level.WARNING, thin_headroom.find_thin_headrooms),
    Rule(too_slow.NAME, Level.WARNING, too_slow.find_too_slow),
    Rule(undriven_machines.NAME, Level.WARNING, undriven_machines.find_undriven_machines),
    Rule(unequal_movers.NAME, Level.NOTE, unequal_movers.find_unequal_movers),
    Rule(unknown_blocks.NAME, Level.NOTE, unknown_blocks.find_unknown_blocks),
    Rule(unread_chunks.NAME, Level.WARNING, unread_chunks.find_unread_chunks),
    Rule(unusable_number.NAME, Level.WARNING, unusable_number.find_unusable_numbers),
)
