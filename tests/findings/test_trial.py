"""Small worlds whose recorded speeds belie one entry of the catalogue, or none, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from analyzer.catalogue.catalogue import (
    ByProperty,
    End,
    Governor,
    Link,
    Meeting,
    PoseByFacing,
    Rim,
    Stored,
    Switch,
)
from analyzer.couplings.couplings import Kind
from analyzer.findings.trial.hold import hold_trial
from analyzer.findings.trial.trial import Entry, InStep, Tally, Trial
from analyzer.parts.parts import Links, Records, no_links
from tests.findings.trial_worlds import catalogues_of, one, part_type, solve_scan
from tests.parts.scans import Found, scan_of

INT, FLOAT = 3, 5
NEAR = frozenset({"beside", "diagonal"})
MOVER = part_type("mover", role="mover", rated_rpm=one(8), torque=one(8))
SHAFT = part_type("shaft")


def gear(name: str, teeth: int):
    return part_type(name, ends=(), rim=Rim("near", one(teeth), NEAR))


def tried(types, blocks, *, tag: int = FLOAT, links: Links | None = None, cut=()) -> Trial:
    """Hold a trial; a block is (state, place, recorded rpm), and None records nothing."""
    found = sorted(blocks, key=lambda block: block[1])
    scan = scan_of([Found(f"sketch:{state}", at=at) for state, at, _ in found])
    parts, couplings, networks, solution = solve_scan(
        scan, links or no_links(), catalogues_of(types)
    )
    rows = [row for row, (_, _, rpm) in enumerate(found) if rpm is not None]
    speeds = [Fraction(found[row][2]) for row in rows]
    numbers = (*parts.numbers, *speeds, Fraction(1))
    records = Records(
        part=np.array(rows, np.int32),
        stored=np.arange(len(parts.numbers), len(numbers) - 1, dtype=np.int32),
        unit=np.full(len(rows), len(numbers) - 1, np.int32),
        tag=np.full(len(rows), tag, np.int8),
    )
    is_cut = np.isin(np.arange(len(networks)), networks.network[list(cut)])
    recorded = replace(parts, numbers=numbers, recorded=records)
    return hold_trial(recorded, couplings, networks, replace(solution, cut=is_cut))


def copies(count: int, *blocks, apart: int = 10, first: int = 0):
    """Set a group of blocks down several times, far apart along z."""
    return [
        (state, (x, y, z + apart * number), rpm)
        for number in range(first, first + count)
        for state, (x, y, z), rpm in blocks
    ]


def meshed(count: int, one_rpm, other_rpm, *, names=("cog", "wheel"), first: int = 0):
    """Two gears about z that touch, several times."""
    pair = (
        (f"{names[0]}[axis=z]", (0, 0, 0), one_rpm),
        (f"{names[1]}[axis=z]", (1, 0, 0), other_rpm),
    )
    return copies(count, *pair, first=first)


def entries(trial: Trial):
    return [suspect.entries for suspect in trial.suspects]


# --- coupled pairs


def test_pairs_that_turn_as_the_catalogue_says_agree() -> None:
    trial = tried([gear("cog", 12), gear("wheel", 24)], meshed(20, 8, -4))
    assert trial.tallies == (
        Tally(
            "sketch:cog", "rim", "sketch:wheel", "rim", Kind.MESH, 20, 0, 0, Fraction(-1, 2), None
        ),
    )
    assert (trial.describes, trial.suspects, trial.recorded) == (True, (), 40)


def test_a_save_that_records_nothing_tells_nothing() -> None:
    trial = tried([SHAFT], [("shaft[axis=x]", (0, 0, 0), None)])
    assert (trial.describes, trial.pairs, trial.recorded) == (None, 0, 0)
    assert tried([SHAFT], []).describes is None


def test_a_pair_of_which_one_rests_is_not_compared() -> None:
    assert tried([gear("cog", 12), gear("wheel", 24)], meshed(20, 8, 0)).pairs == 0


@pytest.mark.parametrize(("pairs", "describes"), [(19, None), (20, True)])
def test_twenty_pairs_are_enough(pairs: int, describes: bool | None) -> None:
    assert tried([gear("cog", 12), gear("wheel", 24)], meshed(pairs, 8, -4)).describes is describes


@pytest.mark.parametrize(("wrong", "describes"), [(1, True), (2, True), (3, False)])
def test_nine_pairs_of_ten_must_agree(wrong: int, describes: bool) -> None:
    blocks = meshed(20 - wrong, 8, -4) + meshed(wrong, 8, -5, first=20)
    assert tried([gear("cog", 12), gear("wheel", 24)], blocks).describes is describes


def test_a_wrong_tooth_count_is_told_from_the_gears_that_it_meets() -> None:
    # The cog has 15 teeth: 8 rpm gives 5 rpm on 24 teeth and 6 rpm on 20.
    types = [gear("cog", 12), gear("wheel", 24), gear("drum", 20)]
    blocks = meshed(20, 8, -5) + meshed(20, 8, -6, names=("cog", "drum"), first=20)
    trial = tried(types, blocks)
    assert entries(trial) == [(Entry("sketch:cog", "teeth", says=Fraction(12), fits=Fraction(15)),)]
    assert (trial.types, trial.describes) == (("sketch:cog",), False)
    assert [(tally.ratio_differs, tally.says, tally.seen) for tally in trial.tallies] == [
        (20, Fraction(-3, 5), Fraction(-3, 4)),
        (20, Fraction(-1, 2), Fraction(-5, 8)),
    ]


def test_two_gears_that_meet_nothing_else_are_both_named() -> None:
    (suspect,) = tried([gear("cog", 12), gear("wheel", 24)], meshed(20, 8, -5)).suspects
    assert suspect.entries == (
        Entry("sketch:cog", "teeth", says=Fraction(12), fits=Fraction(15)),
        Entry("sketch:wheel", "teeth", says=Fraction(24), fits=Fraction(96, 5)),
    )


def test_nineteen_pairs_give_a_suspect_and_no_verdict() -> None:
    trial = tried([gear("cog", 12), gear("wheel", 24)], meshed(19, 8, -5))
    assert (len(trial.suspects), trial.proven, trial.describes) == (1, (), None)
    assert tried([gear("cog", 12), gear("wheel", 24)], meshed(2, 8, -5)).suspects == ()


def test_suspects_that_are_few_each_are_named_where_all_pairs_together_are_enough() -> None:
    types = [gear("cog", 12), gear("wheel", 24), gear("pin", 10), gear("drum", 20)]
    blocks = meshed(12, 8, -5) + meshed(12, 8, -5, names=("pin", "drum"), first=20)
    trial = tried(types, blocks)
    assert (trial.proven, len(trial.suspects), trial.describes) == ((), 2, False)
    assert trial.types == ("sketch:cog", "sketch:drum", "sketch:pin", "sketch:wheel")


def test_whole_numbers_name_the_tooth_count_that_all_of_them_allow() -> None:
    # 15 : 24 of 8, 16 and 33 rpm, rounded; none of them alone tells it from 14 or 16 teeth.
    types = [gear("cog", 12), gear("wheel", 24), gear("drum", 20)]
    blocks = [
        *meshed(8, 16, -10),
        *meshed(8, 33, -21, first=10),
        *meshed(8, 160, -100, first=20),
        *meshed(8, 160, -120, names=("cog", "drum"), first=30),
    ]
    (suspect,) = tried(types, blocks, tag=INT).suspects
    assert suspect.entries == (Entry("sketch:cog", "teeth", says=Fraction(12), fits=Fraction(15)),)


def test_a_wrong_sign_is_named_with_its_side() -> None:
    # Right of a front to the east is south. With the factor 1 both would turn alike.
    box = part_type("box", ends=(End(0, one(1)), End(1, one(-1)), End(4, one(1))))
    line = (
        ("shaft[axis=x]", (0, 0, 0), 8),
        ("box[axis=x]", (1, 0, 0), 8),
        ("shaft[axis=z]", (1, 0, 1), -8),
        ("shaft[axis=x]", (2, 0, 0), 8),
    )
    trial = tried([box, SHAFT], copies(20, *line))
    assert entries(trial) == [
        (Entry("sketch:box", "factor", "right", says=Fraction(1), fits=Fraction(-1)),)
    ]
    assert [tally.sign_differs for tally in trial.tallies] == [0, 0, 20]


def test_a_number_by_property_is_suspected_for_one_value_alone() -> None:
    factor = ByProperty("step", (("low", Fraction(2)), ("high", Fraction(2))))
    box = part_type("box", ends=(End(0, one(1)), End(1, factor)))

    def line(step, rpm):
        return (
            ("shaft[axis=x]", (0, 0, 0), rpm),
            (f"box[axis=x,step={step}]", (1, 0, 0), 4),
            ("shaft[axis=x]", (2, 0, 0), 4),
        )

    blocks = copies(20, *line("low", -8)) + copies(20, *line("high", -12), first=20)
    assert entries(tried([box, SHAFT], blocks)) == [
        (
            Entry(
                "sketch:box",
                "factor",
                "back",
                where="step=high",
                says=Fraction(2),
                fits=Fraction(3),
            ),
        )
    ]


def test_a_belt_that_is_crossed_is_told_from_one_that_is_open() -> None:
    pulley = part_type("pulley", link=Link(False, one(1), None))
    blocks = copies(20, ("pulley[axis=x]", (0, 0, 0), 8), ("pulley[axis=x]", (0, 3, 0), -8))
    towards = np.array([(0, 3, 10 * number) for number in range(20)], np.int64)
    # Sorted by position, all pulleys below come before those above.
    links = Links(np.arange(20, dtype=np.int32), towards)
    assert entries(tried([pulley], blocks, links=links)) == [(Entry("sketch:pulley", "crossed"),)]


def test_a_reverser_that_works_the_other_way_round_is_named() -> None:
    on = ByProperty("on", (("no", Fraction(0)), ("yes", Fraction(1))))
    box = part_type("box", switch=Switch("reverser", (1,), on))

    def line(state, rpm):
        return (
            ("shaft[axis=x]", (0, 0, 0), rpm),
            (f"box[axis=x,on={state}]", (1, 0, 0), 4),
            ("shaft[axis=x]", (2, 0, 0), 4),
        )

    blocks = copies(20, *line("no", 4)) + copies(20, *line("yes", 4), first=20)
    assert entries(tried([box, SHAFT], blocks)) == [(Entry("sketch:box", "switch"),)]


def test_a_record_about_the_other_direction_shows_in_backward_parts_alone() -> None:
    box = part_type("box", pose=PoseByFacing("facing"))

    def line(facing, rpm):
        return (
            ("shaft[axis=x]", (0, 0, 0), 4),
            (f"box[facing={facing}]", (1, 0, 0), rpm),
            ("shaft[axis=x]", (2, 0, 0), 4),
        )

    blocks = copies(20, *line("east", 4)) + copies(20, *line("west", -4), first=20)
    assert entries(tried([box, SHAFT], blocks)) == [(Entry("sketch:box", "about"),)]


def test_a_wrong_ratio_of_an_own_offset_is_named_with_its_place() -> None:
    wheel = part_type(
        "wheel", ends=(), meets=(Meeting((0, 2, 0), ("sketch:wheel",), Fraction(1), None),)
    )
    blocks = copies(20, ("wheel[axis=x]", (0, 0, 0), 4), ("wheel[axis=x]", (0, 2, 0), -4))
    assert entries(tried([wheel], blocks)) == [
        (Entry("sketch:wheel", "ratio", at=(0, 2, 0), says=Fraction(1), fits=Fraction(-1)),)
    ]


def test_pairs_that_fit_no_number_are_named_as_a_pair() -> None:
    blocks = [block for number in range(24) for block in meshed(1, 8, -(17 + number), first=number)]
    trial = tried([gear("cog", 12), gear("wheel", 24)], blocks)
    assert entries(trial) == [(Entry("sketch:cog", "pair", port="mesh", other="sketch:wheel"),)]
    assert trial.types == ("sketch:cog", "sketch:wheel")


# --- neighbours in step


HEADLESS = part_type(
    "mover", role="mover", rated_rpm=one(8), torque=one(8), ends=(End(1, one(-1)),)
)
LINE = (("mover[axis=x]", (0, 0, 0), 8), ("shaft[axis=x]", (1, 0, 0), 8))


def test_a_missing_end_is_named_with_its_factor() -> None:
    trial = tried([HEADLESS, SHAFT], copies(20, *LINE))
    assert entries(trial) == [(Entry("sketch:mover", "no-end", "front", fits=Fraction(1)),)]
    assert trial.in_step == (InStep("sketch:mover", "sketch:shaft", (1, 0, 0), Fraction(1), 20),)
    assert (trial.types, trial.describes, trial.pairs) == (("sketch:mover",), False, 0)


def test_drives_that_turn_alike_beside_each_other_are_no_evidence() -> None:
    beside = (*LINE, ("mover[axis=x]", (0, 0, 1), 8), ("shaft[axis=x]", (1, 0, 1), 8))
    trial = tried([MOVER, SHAFT], copies(20, *beside))
    assert (trial.in_step, trial.suspects, trial.describes) == ((), (), True)


def test_lines_in_step_that_no_coupling_would_join_to_a_mover_accuse_nobody() -> None:
    # Something unknown drives both.
    beside = (("shaft[axis=x]", (0, 0, 0), 8), ("shaft[axis=x]", (0, 0, 1), 8))
    trial = tried([MOVER, SHAFT], copies(20, *beside))
    assert [(row.at, row.pairs) for row in trial.in_step] == [((0, 0, 1), 20)]
    assert (trial.suspects, trial.describes) == ((), None)


def test_what_one_missing_end_joins_needs_no_other_coupling() -> None:
    # Two headless lines side by side: their shafts turn in step by chance.
    beside = (*LINE, ("mover[axis=x]", (0, 0, 1), 8), ("shaft[axis=x]", (1, 0, 1), 8))
    trial = tried([HEADLESS, SHAFT], copies(20, *beside))
    assert entries(trial) == [(Entry("sketch:mover", "no-end", "front", fits=Fraction(1)),)]


def test_neighbours_of_which_one_rests_tell_against_a_missing_end() -> None:
    resting = (LINE[0], ("shaft[axis=x]", (1, 0, 0), 0))
    trial = tried([HEADLESS, SHAFT], copies(20, *LINE) + copies(3, *resting, first=20))
    assert entries(trial) == []


def test_a_network_that_is_cut_may_be_driven_from_beyond() -> None:
    blocks = copies(20, *LINE)
    shafts = [
        row for row, block in enumerate(sorted(blocks, key=lambda b: b[1])) if "shaft" in block[0]
    ]
    assert tried([HEADLESS, SHAFT], blocks, cut=shafts).suspects == ()


def test_a_missing_placement_is_named() -> None:
    driven = part_type(
        "driven",
        role="mover",
        ends=(),
        rated_rpm=one(8),
        torque=one(8),
        rim=Rim("near", one(12), NEAR),
    )
    cog = part_type("cog", ends=(), rim=Rim("near", one(24), frozenset({"diagonal"})))
    blocks = copies(20, ("driven[axis=z]", (0, 0, 0), 8), ("cog[axis=z]", (1, 0, 0), -4))
    assert entries(tried([driven, cog], blocks)) == [
        (Entry("sketch:cog", "no-placement", "beside"),)
    ]


def test_a_missing_rim_is_named_with_its_teeth() -> None:
    driven = part_type(
        "driven",
        role="mover",
        ends=(),
        rated_rpm=one(8),
        torque=one(8),
        rim=Rim("near", one(12), NEAR),
    )
    stone = part_type("stone", ends=())
    blocks = copies(
        20, ("driven[axis=z]", (0, 0, 0), 8), ("stone[axis=z]", (1, 0, 0), Fraction(-16, 3))
    )
    assert entries(tried([driven, stone], blocks)) == [
        (Entry("sketch:stone", "no-rim", "near", fits=Fraction(18)),)
    ]


def test_a_missing_own_offset_is_named_from_both_sides() -> None:
    hub = part_type("hub", role="mover", ends=(), rated_rpm=one(8), torque=one(8))
    blocks = copies(20, ("hub[axis=x]", (0, 0, 0), 8), ("stone[axis=x]", (0, 2, 0), 4))
    trial = tried([hub, part_type("stone", ends=())], blocks)
    assert entries(trial) == [
        (
            Entry(
                "sketch:hub", "no-offset", other="sketch:stone", at=(0, 2, 0), fits=Fraction(1, 2)
            ),
            Entry("sketch:stone", "no-offset", other="sketch:hub", at=(0, -2, 0), fits=Fraction(2)),
        )
    ]


def test_an_open_clutch_that_turns_all_the_same_is_no_missing_end() -> None:
    on = ByProperty("on", (("no", Fraction(0)), ("yes", Fraction(1))))
    clutch = part_type("clutch", switch=Switch("clutch", (0,), on))
    line = (*LINE[:1], ("clutch[axis=x,on=no]", (1, 0, 0), 8), ("shaft[axis=x]", (2, 0, 0), 8))
    named = {
        e.charge
        for found in entries(tried([MOVER, SHAFT, clutch], copies(20, *line)))
        for e in found
    }
    assert "no-end" not in named


def test_a_governed_port_fixes_no_ratio() -> None:
    held = part_type("held", governor=Governor(0, one(4), False))
    line = (
        ("mover[axis=x]", (0, 0, 0), 8),
        ("held[axis=x]", (1, 0, 0), 8),
        ("shaft[axis=x]", (2, 0, 0), 4),
    )
    trial = tried([MOVER, SHAFT, held], copies(20, *line))
    assert (trial.pairs, trial.agreed, trial.suspects) == (20, 20, ())


def test_a_stored_number_is_suspected_by_its_scale() -> None:
    stored = Stored(("Teeth",), Fraction(1), Fraction(12))
    cog = part_type("cog", ends=(), rim=Rim("near", stored, NEAR))
    types = [cog, gear("wheel", 24), gear("drum", 20)]
    blocks = meshed(20, 8, -5) + meshed(20, 8, -6, names=("cog", "drum"), first=20)
    assert entries(tried(types, blocks)) == [
        (Entry("sketch:cog", "teeth", says=Fraction(1), fits=Fraction(5, 4)),)
    ]
