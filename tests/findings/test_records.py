"""What a save keeps in a way that does not work, what was not read, and what is not known."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.base.place import Block
from analyzer.base.policy import Level, Policy
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import Break
from analyzer.parts.parts import Rejected, Unusable
from analyzer.save.chunk.versions import NEWEST_KNOWN
from tests.findings.judged import SHAFTED, judge_by, row
from tests.support.mechanism import OVERWORLD, SHAFT, at, mover, scan_of

broken = judge_by("broken-link")
unusable = judge_by("unusable-number")
rejected = judge_by("not-understood")
missing = judge_by("record-missing")
unknown = judge_by("unknown-blocks")
cut = judge_by("cut-network")
newer = judge_by("newer-version")

# --- broken-link


def test_broken_links_are_one_finding_a_network_that_counts_the_reasons() -> None:
    links = [(0, Break.MISSING), (2, Break.ITSELF), (1, Break.MISSING), (3, Break.NO_LINK)]
    first, second = broken([SHAFT] * 4, row(SHAFT, SHAFT, SHAFT)[1], broken=links)
    assert (first.at, first.also, first.count) == (at(0)[0], at(1, 2), 3)
    assert first.names == (("itself", 1), ("missing", 2))
    assert (second.at, second.names) == (at(3)[0], (("no-link", 1),))
    assert (first.level, first.certain) == (Level.WARNING, "yes")


def test_a_broken_link_stands_in_a_cut_network() -> None:
    (found,) = broken([SHAFT], broken=[(0, Break.NOT_PARALLEL)], cut=[0])
    assert (found.level, found.certain) == (Level.WARNING, "yes")


# --- unusable-number


def test_unusable_numbers_are_one_finding_a_network_that_names_their_paths() -> None:
    numbers = [
        Unusable(1, Field.TORQUE, "Pull", "NaN"),
        Unusable(1, Field.LEAST_RPM, "Least", "text"),
        Unusable(0, Field.TORQUE, "Pull", "nothing"),
    ]
    (found,) = unusable([SHAFT] * 2, [(0, 1, SHAFTED)], unusable=numbers)
    assert (found.at, found.also, found.count) == (at(0)[0], at(1), 3)
    assert found.names == (("Least", 1), ("Pull", 2))
    assert (found.level, found.certain) == (Level.WARNING, "yes")


def test_a_network_with_an_unusable_number_counts_as_cut_without_a_finding_of_its_own() -> None:
    numbers = [Unusable(1, Field.TORQUE, "Pull", "NaN")]
    judge = judge_by("cut-network", "driving-nothing")
    (found,) = judge([mover(8), SHAFT], [(0, 1, SHAFTED)], unusable=numbers)
    assert (found.rule, found.certain) == ("driving-nothing", "as far as read")


# --- not-understood


def reject(x: int, block: str, reason: str = "not-understood") -> Rejected:
    return Rejected(0, Block(x, 70, 0), reason, block, "property bar is absent")  # type: ignore[arg-type]


def test_blocks_not_understood_are_one_finding_a_block_name() -> None:
    blocks = [
        reject(3, "a:drum[bar=x]"),
        reject(1, "a:drum"),
        reject(2, "a:reel"),
        reject(5, "a:reel", reason="stale"),
    ]
    drum, reel = rejected([SHAFT], rejected=blocks)
    assert (drum.names, drum.count) == ((("a:drum", 2),), 2)
    assert (drum.at, drum.also) == (Block(1, 70, 0), (Block(3, 70, 0),))
    assert (drum.dimension, drum.network, drum.level) == (OVERWORLD, None, Level.WARNING)
    assert (reel.names, reel.also) == ((("a:reel", 1),), ())
    assert drum.fingerprint != reel.fingerprint


def test_of_many_blocks_not_understood_the_first_few_are_named() -> None:
    blocks = [reject(x, "a:drum") for x in range(9)]
    (found,) = rejected([SHAFT], rejected=blocks, policy=Policy(worst_places=3))
    assert (found.count, len(found.also)) == (9, 2)


# --- record-missing


def test_blocks_without_their_block_entity_are_one_finding_a_block_name() -> None:
    bare = [
        (Block(4, 70, 0), "a:drum"),
        (Block(1, 70, 0), "a:drum"),
        (Block(2, 70, 0), "a:reel"),
    ]
    drum, reel = missing([SHAFT], scan=scan_of(bare=bare))
    assert (drum.names, drum.count) == ((("a:drum", 2),), 2)
    assert (drum.at, drum.also) == (Block(1, 70, 0), (Block(4, 70, 0),))
    assert (drum.dimension, drum.level) == (OVERWORLD, Level.WARNING)
    assert reel.names == (("a:reel", 1),)


# --- unknown-blocks


def test_unknown_block_entities_and_blocks_in_a_catalogues_namespace_are_named() -> None:
    scan = scan_of(
        unknown=[("sketch:vat", 2), ("other:vat", 7), ("minecraft:chest", 9)],
        strangers=[("sketch:rail", 5), ("sketch:vat", 1)],
    )
    (found,) = unknown([SHAFT], scan=scan)
    assert found.names == (("sketch:rail", 5), ("sketch:vat", 2))
    assert (found.count, found.level, found.at) == (2, Level.NOTE, None)


def test_where_nothing_is_known_no_block_is_told_as_unknown() -> None:
    assert unknown([], scan=scan_of(unknown=[("sketch:vat", 2)])) == ()


# --- cut-network


def test_a_network_cut_by_an_unreadable_chunk_is_a_warning() -> None:
    (found,) = cut([SHAFT] * 3, row(SHAFT, SHAFT, SHAFT)[1], cut=[2], never_made=[0, 2])
    assert (found.level, found.certain, found.count) == (Level.WARNING, "yes", 3)
    assert found.names == (("absent", 2), ("unreadable", 1))
    assert (found.at, found.also) == (at(2)[0], at(0))


def test_a_network_cut_by_what_was_never_generated_is_a_note() -> None:
    (found,) = cut([SHAFT] * 2, [(0, 1, SHAFTED)], never_made=[1])
    assert (found.level, found.at, found.names) == (Level.NOTE, at(1)[0], (("absent", 1),))
    raised = Policy(levels={"cut-network": Level.ERROR})
    assert [one.level for one in cut([SHAFT], never_made=[0], policy=raised)] == [Level.NOTE]
    assert [one.level for one in cut([SHAFT], cut=[0], policy=raised)] == [Level.ERROR]


def test_every_cut_network_has_one_finding() -> None:
    assert [one.network for one in cut([SHAFT] * 3, cut=[0, 2])] == [0, 2]


# --- newer-version


@pytest.mark.parametrize(("above", "found"), [(-1, 0), (0, 0), (1, 1)])
def test_versions_up_to_the_newest_known_are_fine(above: int, found: int) -> None:
    scan = scan_of(versions=[2844, NEWEST_KNOWN + above])
    assert [(one.measured, one.limit, one.level) for one in newer([], scan=scan)] == [
        (Fraction(NEWEST_KNOWN + 1), Fraction(NEWEST_KNOWN), Level.NOTE)
    ] * found
