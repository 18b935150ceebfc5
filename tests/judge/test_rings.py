"""The judge on governors that drive each other round, and on what a set speed of 0 holds."""

from __future__ import annotations

from typing import Any

from tests.judge.build import (
    driving,
    here,
    shaft,
    solved,
)
from tests.judge.governors import ENTRIES, LINE, governor, in_a_row


def ring(sense: str, ratio: int, *movers: tuple[tuple[int, int, int], str]) -> Any:
    """Return the verdict on two zones of which each governs the other.

    Both governors look east and are set to 6. The second one's port turns a shaft, which a chain
    of that ratio joins with the first one. The second one has an end on top, too.
    """
    meets = [{"at": [-2, 0, 0], "types": ["first"], "ratio": ratio}]
    entries = {
        "first": governor(6, sense),
        "second": governor(6, sense, ends={"front": 1, "back": -1, "top": 1}),
        "last": shaft(meets=meets),
        "motor": driving(shaft(), 16),
    }
    build = {(0, 0, 0): ("first", "east"), (1, 0, 0): ("second", "east")}
    places = {at: ("motor", facing) for at, facing in movers}
    (network,) = solved(entries, {**build, (2, 0, 0): ("last", "east"), **places})
    assert len(network.zones) == 2
    return network


def test_a_ring_of_governors_that_follow_takes_the_way_of_its_mover() -> None:
    for facing, way in (("east", 6), ("west", -6)):
        network = ring("follow", 1, ((-1, 0, 0), facing))
        assert [network.speeds[here(*at)] for at in LINE[:3]] == [way] * 3
        assert network.driven == set(network.members)
    assert ring("follow", 1).state == "idle"


def test_a_ring_of_governors_that_turns_its_own_way_round_is_a_conflict() -> None:
    assert ring("follow", -1, ((-1, 0, 0), "east")).conflict == "governors"
    # With senses of their own both are content: -6 times -1 is what the first one turns at.
    network = ring("own", -1, ((-1, 0, 0), "west"))
    assert [network.speeds[here(*at)] for at in LINE[:3]] == [-6, 6, 6]


def test_in_a_ring_the_mover_of_the_smallest_zone_has_its_way() -> None:
    # A motor that looks down on the second one's top turns it the other way than its rating.
    above = (1, 1, 0)
    assert ring("follow", 1, ((-1, 0, 0), "west"), (above, "down")).speeds[here(2, 0, 0)] == -6
    assert ring("follow", 1, ((-1, 0, 0), "east"), (above, "down")).conflict == "movers"
    assert ring("follow", 1, (above, "down")).speeds[here(2, 0, 0)] == -6


def test_a_ring_has_its_way_before_the_zones_that_it_feeds() -> None:
    # The ring's last shaft drives, through a third governor, a zone at a smaller place; the mover
    # there would have it the other way.
    meets = [
        {"at": [-2, 0, 0], "types": ["first"], "ratio": 1},
        {"at": [-9, 0, 0], "types": ["third"], "ratio": 1},
    ]
    entries = {
        "first": governor(6, "follow"),
        "second": governor(6, "follow"),
        "last": shaft(meets=meets),
        "third": governor(5, "follow"),
        "motor": driving(shaft(), 16),
    }

    def network(far_mover: str) -> Any:
        (found,) = solved(
            entries,
            {
                (-1, 0, 0): ("motor", "east"),
                (0, 0, 0): ("first", "east"),
                (1, 0, 0): ("second", "east"),
                (2, 0, 0): ("last", "east"),
                (-7, 0, 0): ("third", "west"),
                (-8, 0, 0): ("motor", far_mover),
            },
        )
        return found

    assert network("west").conflict == "movers"
    sound = network("east")
    assert (sound.conflict, sound.speeds[here(-8, 0, 0)]) == (None, 5)


def test_a_zone_that_its_own_turning_holds_at_rest_never_settles() -> None:
    # The mover turns the first zone, that one the second, and that one holds the first at rest.
    meets = [{"at": [-2, 0, 0], "types": ["own"], "ratio": 1}]
    entries = {**ENTRIES, "last": shaft(meets=meets)}
    (network,) = solved(
        entries,
        {
            (-1, 0, 0): ("motor", "east"),
            (0, 0, 0): ("own", "east"),
            (1, 0, 0): ("hold", "east"),
            (2, 0, 0): ("last", "east"),
        },
    )
    assert (network.state, network.conflict) == ("conflicting", "governors")


def test_what_is_held_at_rest_holds_nothing_itself() -> None:
    # Three zones with a mover each; the first holds the second, which would hold the third.
    hold = governor(0, ends={"front": 1, "back": -1, "top": 1})
    entries = {"motor": driving(shaft(), 16), "hold": hold}
    (network,) = solved(
        entries,
        {
            (0, 0, 0): ("motor", "east"),
            (1, 0, 0): ("hold", "east"),
            (2, 0, 0): ("hold", "east"),
            (2, 1, 0): ("motor", "down"),
            (3, 0, 0): ("motor", "east"),
        },
    )
    speeds = {at: network.speeds[here(*at)] for at in ((0, 0, 0), (2, 0, 0), (3, 0, 0))}
    assert speeds == {(0, 0, 0): 16, (2, 0, 0): 0, (3, 0, 0): 16}
    assert network.dragged == {here(2, 1, 0)}


def test_a_governor_that_turns_what_another_holds_is_a_conflict() -> None:
    entries = {**ENTRIES, "hold_west": governor(0)}
    (network,) = in_a_row(
        entries,
        ("motor", "east"),
        ("own", "east"),
        ("still", "east"),
        ("hold_west", "west"),
        ("motor", "east"),
    )
    assert network.conflict == "governors"
