"""However broken a world is, its findings fit on one screen."""

from __future__ import annotations

from fractions import Fraction

from analyzer.base.place import Block
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import Break
from analyzer.findings.audit import Audit
from analyzer.parts.parts import Rejected, Unusable
from analyzer.report.findings_text import iter_findings
from analyzer.report.network_rows import iter_network_rows
from tests.support.mechanism import SHAFT, Part, audit_of, machine, mechanism, mover

ONE = Fraction(1)
#: Lines of one screen.
SCREEN = 40


def lines_of(audit: Audit) -> list[str]:
    text = "".join(iter_findings(audit, list(iter_network_rows(audit)), save="world"))
    return text.splitlines()


def broken_hall(parts: int = 5000) -> Audit:
    """A hall on one line in which nearly every part is wrong in several ways."""
    line = [mover(8), mover(4), *[machine(8, least=4, limit=4)] * (parts - 2)]
    ratios = {3: Fraction(2), 5: Fraction(1, 2)}
    return audit_of(
        mechanism(
            line,
            [(part, part + 1, ratios.get(part % 7, ONE)) for part in range(parts - 1)],
            broken=[(part, Break(part % 4)) for part in range(0, parts, 3)],
            unusable=[
                Unusable(part, Field.LEAST_RPM, f"Depth.Gauge{part % 20}", "NaN")
                for part in range(5, parts, 5)
            ],
        )
    )


def test_a_broken_hall_of_5000_parts_fits_on_one_screen() -> None:
    audit = broken_hall()
    assert {one.rule for one in audit.findings.items} == {
        "broken-link",
        "heavy-network",
        "over-speed",
        "overload",
        "unusable-number",
    }
    assert min(one.count for one in audit.findings.items) > 300
    lines = lines_of(audit)
    assert len(lines) <= SCREEN
    assert max(map(len, lines)) <= 80


def test_a_hall_that_is_cut_everywhere_as_well_still_fits() -> None:
    hall = broken_hall()
    case = mechanism(
        [mover(8), *[machine(8, limit=4)] * 4999],
        [(part, part + 1, ONE) for part in range(4999)],
        cut=range(0, 5000, 11),
        rejected=[
            Rejected(0, Block(x, 80, 0), "not-understood", "sketch:reel[bar=x]", "bar is x")
            for x in range(1000)
        ],
        broken=[(part, Break.MISSING) for part in range(0, 5000, 3)],
        unusable=hall.parts.unusable,
    )
    assert len(lines_of(audit_of(case))) <= SCREEN + 10


def test_the_gravest_findings_of_a_network_are_told_in_full_and_the_others_in_brief() -> None:
    text = "\n".join(lines_of(broken_hall(40)))
    assert text.index("  warning: broken-link\n") < text.index("  note: overload, as far as read,")
    assert "\n    next   Link the parts anew" in text
    assert "Have the places it is cut at read" not in text
    assert "at 4 64 0: The machines ask for" in text.replace("\n    ", " ")


def test_a_hall_in_a_thousand_pieces_is_told_by_a_few_of_them() -> None:
    lines = lines_of(audit_of(mechanism([machine()] * 1000)))
    assert lines[-3:] == [
        "  ... and 980 more findings about 980 more networks: undriven-machines 980. All",
        "  of them, with the same options:",
        "  lineshaft audit world --format json",
    ]
    assert len(lines) < 200


def test_of_many_networks_those_with_the_gravest_findings_are_told() -> None:
    parts = [*[machine()] * 30, mover(8), machine(40)]
    lines = lines_of(audit_of(mechanism(parts, [(30, 31, ONE)])))
    assert "  error: overload" in lines
    assert "  lineshaft audit world --format json" in lines


def test_many_knots_of_one_network_are_not_all_told() -> None:
    # Triangles in a chain, each locked by itself.
    ring = [
        pair
        for first in range(0, 80, 2)
        for pair in (
            (first, first + 1, -ONE),
            (first + 1, first + 2, -ONE),
            (first, first + 2, -ONE),
        )
    ]
    lines = lines_of(audit_of(mechanism([SHAFT] * 81, ring)))
    text = " ".join(line.strip() for line in lines)
    assert "... and 28 more findings: loop-conflict 28. All of them" in text
    assert len(lines) < 80


def test_what_is_about_no_network_is_told_in_full_for_longer() -> None:
    blocks = [
        Rejected(0, Block(x, 80, 0), "not-understood", f"sketch:reel_{x}", "bar is absent")
        for x in range(20)
    ]
    text = "\n".join(lines_of(audit_of(mechanism([Part()], rejected=blocks))))
    assert text.count("    next   Add what is missing") == 6
    assert "... and 8 more findings: not-understood 8." in text
