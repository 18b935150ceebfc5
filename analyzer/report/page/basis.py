"""What a report rests on: catalogues, limits, the user's decisions, and a former report."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from analyzer.base.exact import decimal_text
from analyzer.catalogue.catalogue import Source
from analyzer.findings.audit import Audit
from analyzer.findings.ignores import Ignored
from analyzer.report.baseline import Comparison
from analyzer.report.page.markup import Markup, element
from analyzer.report.page.tables import items, section, table
from analyzer.report.quantities import counted
from analyzer.report.where_text import where_text

#: Most rows of one table; all of them are in the JSON report.
_MOST: Final = 200
_CONVENTIONS: Final = (
    "Speeds are exact and are about the positive world axis: east, up, south. ~ marks a number "
    "that was rounded to be shown.",
    "Capacity counts every active mover at its rating, also one that is dragged at another speed.",
    "Not modelled: differentials, torque limits, demand that does not scale with speed, slip, and "
    "moving structures stored as entities.",
)


def basis_section(audit: Audit, comparison: Comparison | None) -> Markup:
    """Return the section; `comparison` is how the audit differs from a former report."""
    return section("basis", "Basis", *_told(audit, comparison))


def _told(audit: Audit, comparison: Comparison | None) -> Iterator[str]:
    sources = audit.parts.catalogues.sources
    if not sources:
        yield element("p", "No catalogue was loaded, so that no block could be told for a part.")
    else:
        yield table(
            "Catalogues",
            ("catalogue", "version", "licence", "types", "power in"),
            (
                (one.title, one.version, one.licence, f"{one.types:,}", one.power_unit)
                for one in sources
            ),
            numbers="   n",
        )
        yield _limits(audit, sources)
    yield from _decisions(audit)
    if comparison is not None:
        yield from _comparison(comparison)
    yield element("h3", "How to read it")
    yield items(_CONVENTIONS)


def _limits(audit: Audit, sources: Sequence[Source]) -> Markup:
    policy = audit.policy
    rows: list[Sequence[str]] = [
        (
            "highest speed, rpm (where a type has none of its own)",
            _number(policy.speed_limit_rpm),
            *(_number(one.speed_limit_rpm) for one in sources),
        ),
        (
            "movers of unequal speed",
            policy.unequal_movers or "",
            *(one.unequal_movers for one in sources),
        ),
        (
            "headroom is thin below this share of capacity",
            _number(policy.thin_headroom),
            *(_number(one.warnings.thin_headroom) for one in sources),
        ),
    ]
    for name, noun in (
        ("heavy_parts", "parts"),
        ("heavy_chunks", "chunks"),
        ("heavy_switches", "switches"),
    ):
        own = getattr(policy, name)
        of_sources = (f"{getattr(one.warnings, name):,}" for one in sources)
        rows.append(
            (f"a network is heavy above, {noun}", "" if own is None else f"{own:,}", *of_sources)
        )
    heads = ("limit", "set by the user", *(one.title for one in sources))
    return table("Limits", heads, rows, numbers=" " + "n" * (len(heads) - 1))


def _number(value: Fraction | None) -> str:
    return "" if value is None else decimal_text(value)


def _decisions(audit: Audit) -> Iterator[str]:
    told = []
    if audit.policy.off:
        told.append(f"Rules that were not judged: {', '.join(sorted(audit.policy.off))}.")
    if audit.policy.levels:
        levels = (f"{rule}: {level}" for rule, level in sorted(audit.policy.levels.items()))
        told.append(f"Levels set by the user: {', '.join(levels)}.")
    if audit.policy.assume_active:
        told.append("Every mover that is not active was taken to run at its rating.")
    if len(audit.networks) > int(audit.selected.sum()):
        asked, all_of_them = int(audit.selected.sum()), counted(len(audit.networks), "network")
        told.append(f"{asked:,} of {all_of_them} were asked about; the others are not shown.")
    told += [
        f"Ignored no longer: {lapsed.rule or 'every rule'}: {lapsed.reason}."
        for lapsed in audit.lapsed
    ]
    if told:
        yield items(told)
    if audit.ignored:
        more = f", the first {_MOST}" if len(audit.ignored) > _MOST else ""
        yield table(
            f"Ignored: {counted(len(audit.ignored), 'finding')}{more}",
            ("level", "rule", "where", "reason", "until"),
            map(_ignored, audit.ignored[:_MOST]),
        )


def _ignored(one: Ignored) -> tuple[str, ...]:
    finding, until = one.finding, one.ignore.until
    where = where_text(finding.dimension, finding.at).strip(" ,")
    end = "" if until is None else until.isoformat()
    return str(finding.level), finding.rule, where, one.ignore.reason, end


def _comparison(comparison: Comparison) -> Iterator[str]:
    yield element("h3", "Against the former report")
    counts = (
        f"{len(comparison.known):,} known, {len(comparison.new):,} new, "
        f"{len(comparison.gone):,} gone, {len(comparison.not_judged):,} not judged this time."
    )
    yield element("p", counts)
    rows = [
        ("new", str(one.level), one.rule, where_text(one.dimension, one.at))
        for one in comparison.new
    ]
    for what, former in (("gone", comparison.gone), ("not judged", comparison.not_judged)):
        rows += [(what, one.level, one.rule, where_text(one.dimension, one.at)) for one in former]
    if rows:
        yield table(
            f"New, gone and not judged{', the first ' + str(_MOST) if len(rows) > _MOST else ''}",
            ("", "level", "rule", "where"),
            ((what, level, rule, where.strip(" ,")) for what, level, rule, where in rows[:_MOST]),
        )
