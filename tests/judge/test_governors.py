"""The judge on governors, each worked out by hand from the rules of motion."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from tests.judge.build import (
    HEADING,
    driving,
    here,
    keeping,
    loaded,
    shaft,
    solved,
    speed_at,
    wheel,
)
from tests.judge.governors import ENTRIES, LINE, governor, in_a_row, speeds
from tests.judge.stored import Tagged


@pytest.mark.parametrize(
    ("name", "facing", "driver", "beyond"),
    [
        ("own", "east", "east", 6),
        ("own", "east", "west", 6),
        ("back", "east", "east", -6),
        ("follow", "east", "east", 6),
        ("follow", "east", "west", -6),
        # The port's end turns -2 about its outward normal, east, for a turn of 1 about the front,
        # so at the set 6 the governor would turn at 3 and what is east of it at -6.
        ("double", "east", "east", -6),
    ],
)
def test_a_governed_port_turns_at_the_set_speed(
    name: str, facing: str, driver: str, beyond: int
) -> None:
    verdicts = in_a_row(ENTRIES, ("motor", driver), (name, facing), ("loom", "east"))
    way = 16 if driver == "east" else -16
    # The governor's own speed is that of its driving side.
    assert speeds(verdicts, 3) == [way, way, beyond]
    (network,) = verdicts
    assert (network.capacity, network.demand, network.state) == (160, 18, "turning")
    assert network.zones == ((here(0, 0, 0), here(1, 0, 0)), (here(2, 0, 0),))


@pytest.mark.parametrize(("name", "beyond"), [("own", -6), ("follow", 6)])
def test_a_governor_that_looks_west_sets_its_port_about_west(name: str, beyond: int) -> None:
    verdicts = solved(
        ENTRIES,
        {
            (2, 0, 0): ("motor", "east"),
            (1, 0, 0): (name, "west"),
            (0, 0, 0): ("still", "east"),
        },
    )
    assert speed_at(verdicts, 0, 0, 0) == beyond


def test_nothing_passes_backward() -> None:
    # The mover is at the governed port: it drives its own zone, and nothing else.
    verdicts = in_a_row(ENTRIES, ("still", "east"), ("own", "east"), ("motor", "east"))
    assert speeds(verdicts, 3) == [0, 0, 16]
    (network,) = verdicts
    assert (network.state, network.driven) == ("turning", frozenset())


def test_a_network_without_a_mover_is_idle_and_a_ring_of_governors_rests() -> None:
    (network,) = in_a_row(ENTRIES, ("still", "east"), ("own", "east"), ("still", "east"))
    assert (network.state, set(network.speeds.values())) == ("idle", {None})


def test_movers_in_a_governed_zone_are_dragged_in_one_sense_and_fight_in_the_other() -> None:
    (network,) = in_a_row(ENTRIES, ("fast", "east"), ("own", "east"), ("motor", "east"))
    # The set speed outranks the mover: slower than its rating, at full rating all the same.
    assert [network.speeds[here(*at)] for at in LINE[:3]] == [50, 50, 6]
    assert network.capacity == 500 + 160
    assert network.dragged == {here(2, 0, 0)}
    (network,) = in_a_row(ENTRIES, ("fast", "east"), ("own", "east"), ("motor", "west"))
    assert (network.state, network.conflict, network.paths) == ("conflicting", "movers", ())


def test_a_set_speed_of_zero_holds_the_zone_at_rest_with_its_movers() -> None:
    (network,) = in_a_row(
        ENTRIES, ("fast", "east"), ("hold", "east"), ("motor", "west"), ("loom", "east")
    )
    assert [network.speeds[here(*at)] for at in LINE[:4]] == [50, 50, 0, 0]
    assert (network.state, network.capacity, network.demand) == ("turning", 660, 0)
    assert network.held == {here(2, 0, 0), here(3, 0, 0)}
    # Through it nothing is driven on: the second governor's zone is held.
    (network,) = in_a_row(
        ENTRIES, ("fast", "east"), ("hold", "east"), ("own", "east"), ("loom", "east")
    )
    assert network.speeds[here(3, 0, 0)] == 0


def test_governors_in_a_row_pass_the_way_on() -> None:
    entries = {**ENTRIES, "slow": governor(4, "follow")}
    verdicts = in_a_row(
        entries, ("motor", "west"), ("follow", "east"), ("slow", "east"), ("loom", "east")
    )
    assert speeds(verdicts, 4) == [-16, -16, -6, -4]
    verdicts = in_a_row(
        entries, ("motor", "west"), ("own", "east"), ("slow", "east"), ("loom", "east")
    )
    assert speeds(verdicts, 4) == [-16, -16, 6, 4]


@pytest.mark.parametrize(
    ("other", "conflict"), [("own", None), ("back", "governors"), ("hold", "governors")]
)
def test_two_governors_have_to_ask_one_zone_for_one_speed(other: str, conflict: str | None) -> None:
    # Facing west and set to -s is facing east and set to s.
    entries = {
        **ENTRIES,
        "own": governor(6),
        "own_west": governor(-6),
        "back_west": governor(6),
        "hold_west": governor(0),
    }
    (network,) = in_a_row(
        entries,
        ("motor", "east"),
        ("own", "east"),
        ("still", "east"),
        (f"{other}_west", "west"),
        ("motor", "east"),
    )
    assert network.conflict == conflict
    assert network.speeds[here(2, 0, 0)] == (6 if conflict is None else None)


@pytest.mark.parametrize(
    ("set_rpm", "sense", "conflict"),
    [
        (16, "own", None),
        (16, "follow", None),
        (-16, "follow", None),
        (8, "own", "governors"),
        (-16, "own", "governors"),
        (0, "own", "governors"),
        (0, "follow", "governors"),
    ],
)
def test_a_governor_between_two_parts_of_one_zone_is_a_check(
    set_rpm: Any, sense: str, conflict: str | None
) -> None:
    # A ring: two bevel boxes would do; here a chain leads past the governor.
    meets = [{"at": [2, 0, 0], "types": ["still"], "ratio": 1}]
    entries = {
        **ENTRIES,
        "motor": driving(shaft(meets=meets), 16),
        "check": governor(set_rpm, sense),
    }
    (network,) = in_a_row(entries, ("motor", "east"), ("check", "east"), ("still", "east"))
    assert network.conflict == conflict
    assert len(network.zones) == 1


@pytest.mark.parametrize(
    ("other", "unequal", "conflict"),
    [
        ("west", "fastest", "movers"),
        ("east", "conflict", "governors"),
        ("east", "fastest", "governors"),
    ],
)
def test_a_zone_whose_movers_push_opposite_ways_has_no_speed_to_check(
    other: str, unequal: str, conflict: str
) -> None:
    meets = [{"at": [2, 0, 0], "types": ["fast"], "ratio": 1}]
    entries = {
        "motor": driving(shaft(meets=meets), 16),
        "check": governor(7),
        "fast": driving(shaft(), 50),
    }
    verdicts = solved(
        entries,
        dict(zip(LINE, (("motor", "east"), ("check", "east"), ("fast", other)), strict=False)),
        heading={**HEADING, "unequal_movers": unequal},
    )
    assert [verdict.conflict for verdict in verdicts] == [conflict]


def test_two_governed_ports_that_meet_only_share_one_budget() -> None:
    entries = {**ENTRIES, "heavy": loaded(shaft(), 20)}
    (network,) = in_a_row(
        entries,
        ("motor", "east"),
        ("own", "east"),
        ("own", "west"),
        ("heavy", "east"),
        ("motor", "west"),
    )
    assert [network.speeds[here(*at)] for at in LINE[:5]] == [16, 16, -16, -16, -16]
    assert (network.state, network.capacity, network.demand) == ("turning", 320, 320)


def test_a_governor_may_govern_its_rim_or_its_belt() -> None:
    entries = {
        "motor": driving(shaft(), 16),
        "rimmed": governor(6, port="rim", rim={"kind": "near", "teeth": 10}),
        "wheel": wheel(20),
    }
    verdicts = solved(
        entries,
        {(0, 0, 0): ("motor", "east"), (1, 0, 0): ("rimmed", "east"), (1, 1, 0): ("wheel", "x")},
    )
    assert speed_at(verdicts, 1, 1, 0) == -3
    link = {"diameter": 3, "crossed": True, "partner": {"stored": "To", "form": "list"}}
    entries["belted"] = keeping(governor(6, port="link", link=link))
    entries["pulley"] = keeping(shaft(link={"diameter": 1}))
    to = {"To": Tagged("int_array", (9, 9, 9))}
    verdicts = solved(
        entries,
        {
            (0, 0, 0): ("motor", "west"),
            (1, 0, 0): ("belted", "east", to),
            (9, 9, 9): ("pulley", "east", {}),
        },
    )
    assert speed_at(verdicts, 9, 9, 9) == -18


def test_switches_at_the_other_part_open_and_flip_a_governed_coupling() -> None:
    def beyond(on: int, **switch: Any) -> Any:
        entries = {**ENTRIES, "switch": shaft(switch={**switch, "on": on})}
        verdicts = in_a_row(entries, ("motor", "east"), ("own", "east"), ("switch", "east"))
        return len(verdicts), speed_at(verdicts, 2, 0, 0)

    assert beyond(1, kind="clutch", opens=["back"]) == (1, 6)
    assert beyond(0, kind="clutch", opens=["back"]) == (2, None)
    assert beyond(1, kind="reverser", flips="back") == (1, -6)


def test_a_governor_whose_set_speed_cannot_be_used_only_joins() -> None:
    entries = {**ENTRIES, "unsure": keeping(governor({"stored": "Set"}))}
    row = (("motor", "east"), ("unsure", "east", {"Set": Tagged("string", "6")}), ("loom", "east"))
    (network,) = in_a_row(entries, *row)
    assert (network.cut, network.speeds[here(2, 0, 0)], network.demand) == (True, 0, 0)


def test_a_governed_zone_may_be_overloaded_or_locked_by_a_loop() -> None:
    entries = {**ENTRIES, "heavy": loaded(shaft(), Fraction(161, 6))}
    (network,) = in_a_row(entries, ("motor", "east"), ("own", "east"), ("heavy", "east"))
    assert (network.state, network.demand) == ("overloaded", 161)
    twisted = shaft(meets=[{"at": [1, 0, 0], "types": ["still"], "ratio": 2}])
    entries = {**ENTRIES, "twisted": twisted}
    (network,) = in_a_row(
        entries, ("motor", "east"), ("own", "east"), ("twisted", "east"), ("still", "east")
    )
    assert (network.conflict, network.loops) == ("loop", (2,))
