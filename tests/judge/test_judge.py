"""The judge against published values and against mechanics that can be checked by hand.

Each value has its source beside it. "Computed" marks a value that is not printed in the source;
"from memory" one whose source was not at hand.
"""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pytest

from tests.judge.build import THROUGH, driving, solved, wheel
from tests.judge.contacts import rolling
from tests.judge.loops import Edge, balanced, blocks, shortest_unbalanced_loop
from tests.judge.poses import NotUnderstoodError, frame
from tests.judge.stored import Tagged, follow, meaning
from tests.judge.vectors import WORLD


def train_speeds(rated: Any, pairs: list[tuple[int, int]]) -> list[Fraction]:
    """Return the speed of each shaft of a train: pairs of teeth (driver, driven), shaft by shaft.

    Shaft k runs along z at x = k. Its driven wheel is at z = k - 1 and its driver at z = k.
    """
    entries: dict[str, dict[str, Any]] = {}
    build = {}
    for step, (driver, driven) in enumerate(pairs):
        entries[f"driver{step}"] = wheel(driver)
        entries[f"driven{step}"] = wheel(driven)
        build[step, 0, step] = (f"driver{step}", "z")
        build[step + 1, 0, step] = (f"driven{step}", "z")
    entries["driver0"] = driving(entries["driver0"], rated)
    (network,) = solved(entries, build)
    assert network.state == "turning"
    speeds = [network.speeds["quay", (step, 0, step)] for step in range(len(pairs))]
    return [*speeds, network.speeds["quay", (len(pairs), 0, len(pairs) - 1)]]


@pytest.mark.parametrize(
    ("rated", "pairs", "shafts"),
    [
        # GATE ME 2014 set 3, question 21 (electrical4u.net/gate-solved): gear 5 turns at 300 rpm
        # the same way as gear 2.
        (1200, [(20, 40), (15, 30)], [1200, -600, 300]),
        # V. Ryan, technologystudent.com/gears1/gears8.htm: B and C at 90 rpm the other way, D the
        # first way. 360 is computed.
        (-30, [(120, 40), (80, 20)], [-30, 90, -360]),
        # technologystudent.com/gears1/gears6.htm
        (120, [(60, 30)], [120, -240]),
        (60, [(25, 75)], [60, -20]),
        # Applied Physics, section 9.6 (questionai.com, textbook 120742)
        (156, [(16, 48)], [156, -52]),
        # Math Central, University of Regina, QQ.09.02/matt2: 40 turns of 12 teeth are 30 of 16.
        (40, [(12, 16)], [40, -30]),
        # J. Rose, Modern Machine-Shop Practice, Fig. 1240: a lead screw of 4 threads to the inch
        # cuts 11, so it turns 4/11 as often as the spindle.
        (1, [(48, 66), (18, 36)], [1, Fraction(-8, 11), Fraction(4, 11)]),
        # Motion work of a clock, 12 to 1 the same way (the-smoking-barrel.blogspot.com, 2012/12).
        (12, [(12, 40), (10, 36)], [12, Fraction(-18, 5), 1]),
        # geartrains.com/gtwpmg.html: escape wheel once in 45 s, hour shaft once in 12 h.
        (
            Fraction(3600, 45),
            [(6, 72), (6, 78), (13, 80)],
            [80, Fraction(-20, 3), Fraction(3600, 7020), Fraction(-1, 12)],
        ),
        # Mean motion of the Moon, 254/19 turns a year. The output: CharlesCNorton/
        # antikythera-verified, antikythera.v; the train put together: from memory.
        (
            1,
            [(64, 38), (48, 24), (127, 32)],
            [1, Fraction(-32, 19), Fraction(64, 19), Fraction(-254, 19)],
        ),
        # Callippic train, 1/76 (same file).
        (
            1,
            [(64, 38), (53, 96), (15, 53), (15, 60), (12, 60)],
            [
                1,
                Fraction(-32, 19),
                Fraction(53, 57),
                Fraction(-5, 19),
                Fraction(5, 76),
                Fraction(-1, 76),
            ],
        ),
    ],
)
def test_trains_of_wheels_turn_as_published(
    rated: Any, pairs: list[tuple[int, int]], shafts: list[Any]
) -> None:
    assert train_speeds(rated, pairs) == shafts


def test_an_inch_screw_with_90_and_127_teeth_cuts_exactly_three_millimetres() -> None:
    # F. D. Jones, Turning and Boring: 6 threads to the inch, 90 teeth drive 127.
    _, screw = train_speeds(1, [(90, 127)])
    assert abs(screw) * Fraction("25.4") / 6 == 3


@pytest.mark.parametrize("axes", range(2, 9))
def test_the_last_of_an_odd_number_of_wheels_in_line_turns_like_the_first(axes: int) -> None:
    # Encyclopaedia Britannica, 11th ed., "Mechanics", applied part: outside gearing, parallel axes.
    entries = {"first": driving(wheel(20), 10), "next": wheel(20)}
    build = {(step, 0, 0): ("next" if step else "first", "y") for step in range(axes)}
    (network,) = solved(entries, build)
    assert network.speeds["quay", (axes - 1, 0, 0)] == (10 if axes % 2 else -10)


def test_an_idler_of_any_size_leaves_the_magnitude() -> None:
    # dynamicscience.com.au, hydraulicus/gears1: 8 teeth to 18 through idlers is 4/9.
    for idler in (7, 13, 64):
        entries = {"a": driving(wheel(8), 9), "i": wheel(idler), "b": wheel(18)}
        (network,) = solved(
            entries, {(0, 0, 0): ("a", "z"), (0, 1, 0): ("i", "z"), (0, 2, 0): ("b", "z")}
        )
        assert network.speeds["quay", (0, 2, 0)] == 4


X, Y, Z, O = (1, 0, 0), (0, 1, 0), (0, 0, 1), (0, 0, 0)  # noqa: E741


@pytest.mark.parametrize(
    ("a", "b", "contact", "ratio"),
    [
        # Each computed by hand from v = ω × r (ecoursesbook.com, dynamics 05.5).
        ((Z, O), (Z, (3, 0, 0)), (1, 0, 0), Fraction(-1, 2)),
        ((X, O), (Y, O), (1, 1, 0), -1),
        ((X, O), (Y, O), (1, -1, 0), 1),
        ((X, O), (Y, O), (2, 1, 0), Fraction(-1, 2)),
        # An inside gearing turns both the same way (Britannica, as above).
        ((Z, O), (Z, (1, 0, 0)), (2, 0, 0), 2),
    ],
)
def test_wheels_roll_without_slip(a: Any, b: Any, contact: Any, ratio: Any) -> None:
    assert rolling(*a, *b, contact) == ratio


def test_wheels_that_slip_sideways_are_refused() -> None:
    with pytest.raises(ValueError, match="not parallel"):
        rolling(X, O, Y, O, (1, 1, 1))


def test_crossed_rims_on_both_sides_of_an_apex_turn_opposite_ways() -> None:
    # Computed: +x wheel, y wheel, -x wheel round one apex, as in a bevel reversing set.
    entries = {"driving": driving(wheel(8, "far"), 5), "far": wheel(8, "far")}
    (network,) = solved(
        entries,
        {(1, 0, 0): ("driving", "x"), (0, 1, 0): ("far", "y"), (-1, 0, 0): ("far", "x")},
    )
    assert network.speeds["quay", (0, 1, 0)] == -5
    assert network.speeds["quay", (-1, 0, 0)] == -5


def test_crossed_rims_of_unequal_teeth_turn_inversely_as_their_teeth() -> None:
    # Britannica, as above: inversely as the perpendicular distances from the axes.
    entries = {"driving": driving(wheel(8, "far"), 6), "far": wheel(24, "far")}
    (network,) = solved(entries, {(0, 0, 0): ("driving", "x"), (1, 0, 1): ("far", "z")})
    assert network.speeds["quay", (1, 0, 1)] == 2


def test_a_bevel_box_gives_every_face_its_own_turn_about_the_outward_normal() -> None:
    entries = {
        "box": driving(
            {
                "entity": False,
                "pose": {"front": "east", "top": "up"},
                "ends": {"front": 1, "top": Fraction(-3, 2), "left": 2},
            },
            4,
        ),
        "shaft": {
            "role": "transmission",
            "entity": False,
            "pose": {"axis": "axis"},
            "ends": THROUGH,
        },
    }
    # right = east × up = south, so left is north.
    (network,) = solved(
        entries,
        {
            (0, 0, 0): ("box", ""),
            (1, 0, 0): ("shaft", "x"),
            (0, 1, 0): ("shaft", "y"),
            (0, 0, -1): ("shaft", "z"),
        },
    )
    # Outward turns are 4 about east, -6 about up, 8 about north; each shaft is one with its end.
    speeds = [network.speeds["quay", at] for at in ((1, 0, 0), (0, 1, 0), (0, 0, -1))]
    assert speeds == [4, -6, -8]


@pytest.mark.parametrize("count", [3, 4, 5, 6, 7])
def test_a_ring_of_reversing_couplings_turns_if_and_only_if_it_is_even(count: int) -> None:
    # Rings of outside gears of any size: solve.club/problems/gear-loops (19 gears are locked).
    ring = [Edge(node, (node + 1) % count, Fraction(-1)) for node in range(count)]
    assert balanced(ring) == (count % 2 == 0)
    if count % 2:
        assert shortest_unbalanced_loop(ring) == count


def test_the_shortest_unbalanced_loop_is_that_of_an_exhaustive_search() -> None:
    rng = random.Random(5)
    seen = set()
    for _ in range(150):
        nodes = rng.randint(2, 6)
        edges = [
            Edge(node, rng.randrange(node), Fraction(rng.choice([1, 1, -1, 2])))
            for node in range(1, nodes)
        ]
        for _ in range(rng.randint(0, 4)):
            a, b = rng.sample(range(nodes), 2)
            edges.append(Edge(a, b, Fraction(rng.choice([1, 1, -1, 2]))))
        lengths = [length for length, product in _every_loop(edges) if product != 1]
        assert balanced(edges) == (not lengths)
        by_block = [block for block in blocks(edges) if not balanced(block)]
        if lengths:
            assert min(map(shortest_unbalanced_loop, by_block)) == min(lengths)
        seen.add(len(by_block))
    assert {0, 1, 2} <= seen


def _every_loop(edges: list[Edge]) -> list[tuple[int, Fraction]]:
    """Return the length and product of every simple loop, each at least once."""
    found = []

    def walk(path: list[int], used: set[int], product: Fraction) -> None:
        for index, (a, b, ratio) in enumerate(edges):
            for start, end, step in ((a, b, ratio), (b, a, 1 / ratio)):
                if start != path[-1] or index in used:
                    continue
                if end == path[0]:
                    found.append((len(path), product * step))
                elif end not in path:
                    walk([*path, end], used | {index}, product * step)

    for home in {node for edge in edges for node in (edge.a, edge.b)}:
        walk([home], set(), Fraction(1))
    return found


def test_two_triangles_that_share_a_node_are_two_blocks() -> None:
    one = Fraction(1)
    first = [Edge(0, 1, one), Edge(1, 2, one), Edge(2, 0, one)]
    second = [Edge(2, 3, one), Edge(3, 4, one), Edge(4, 2, one)]
    assert blocks([*first, *second, Edge(4, 5, one)]) == [first, second, [Edge(4, 5, one)]]


@pytest.mark.parametrize(
    ("rule", "properties", "directions"),
    [
        ({"facing": "facing"}, {"facing": "north"}, ("north", "up", "east")),
        ({"facing": "facing"}, {"facing": "east"}, ("east", "up", "south")),
        ({"facing": "facing"}, {"facing": "up"}, ("up", "south", "east")),
        ({"facing": "facing"}, {"facing": "down"}, ("down", "north", "east")),
        ({"axis": "axis"}, {"axis": "x"}, ("east", "up", "south")),
        ({"axis": "axis"}, {"axis": "y"}, ("up", "south", "east")),
        ({"axis": "axis"}, {"axis": "z"}, ("south", "up", "west")),
        ({"front": "west", "top": "down"}, {}, ("west", "down", "south")),
        (
            {"cases": [{"when": {"lean": "a"}, "front": "up"}, {"when": {}, "front": "south"}]},
            {"lean": "b"},
            ("south", "up", "west"),
        ),
    ],
)
def test_poses_are_those_of_someone_who_looks_out_of_the_front(
    rule: dict[str, Any], properties: dict[str, str], directions: tuple[str, str, str]
) -> None:
    # Facing north with the head up, the right hand is in the east: plain geography.
    assert frame(rule, properties) == tuple(WORLD[direction] for direction in directions)


@pytest.mark.parametrize("properties", [{}, {"facing": "sideways"}])
def test_a_pose_without_a_known_value_is_not_understood(properties: dict[str, str]) -> None:
    with pytest.raises(NotUnderstoodError):
        frame({"facing": "facing"}, properties)


@pytest.mark.parametrize(
    ("found", "number"),
    [
        (Tagged("int", -7), -7),
        (Tagged("float", 0.10000000149011612), Fraction(1, 10)),
        (Tagged("double", 0.1), Fraction(1, 10)),
        (Tagged("double", 0.10000000149011612), Fraction("0.10000000149011612")),
        (Tagged("float", -0.0), 0),
        (Tagged("double", float("nan")), None),
        (Tagged("double", float("inf")), None),
        (Tagged("long", 10**9 + 1), None),
        (Tagged("string", "8"), None),
        ([Tagged("int", 1)], None),
    ],
)
def test_a_stored_number_means_its_shortest_decimal(found: Any, number: Any) -> None:
    assert meaning(found) == number


def test_a_path_goes_through_compounds_lists_and_arrays() -> None:
    data = {"Drive": {"Speeds": [Tagged("int_array", (4, 8))]}}
    assert follow(data, ("Drive", "Speeds", 0, 1)) == Tagged("int", 8)
    assert follow(data, ("Drive", "Speeds", 1)) is None
    assert follow(data, ("Drive", 0)) is None


def test_capacity_and_demand_are_torque_times_speed() -> None:
    # Common practice, no source: a mover of torque 32 at 8 rpm carries four machines of torque 8.
    machine = {
        "role": "machine",
        "entity": False,
        "pose": {"axis": "axis"},
        "ends": THROUGH,
        "torque": 8,
    }
    shaft = {key: machine[key] for key in ("entity", "pose", "ends")}
    entries = {"wheel": driving(shaft, 8, 32), "loom": machine}
    for count, state in ((4, "turning"), (5, "overloaded")):
        looms = {(step, 0, 0): ("loom", "x") for step in range(1, count + 1)}
        (network,) = solved(entries, {(0, 0, 0): ("wheel", "x"), **looms})
        assert (network.state, network.capacity, network.demand) == (state, 256, 64 * count)


def test_the_states_come_in_their_order() -> None:
    shaft = {"role": "transmission", "entity": False, "pose": {"facing": "facing"}, "ends": THROUGH}
    entries = {"shaft": shaft, "wheel": driving(shaft, 8), "slow": driving(shaft, 2)}
    line = [(0, 0, 0), (1, 0, 0), (2, 0, 0)]

    def state(*names: tuple[str, str]) -> tuple[str, str | None, tuple[int, ...]]:
        (network,) = solved(entries, dict(zip(line, names, strict=False)))
        return network.state, network.conflict, network.paths

    assert state(("shaft", "east")) == ("idle", None, ())
    assert state(("wheel", "east")) == ("turning", None, ())
    assert state(("wheel", "east"), ("slow", "east")) == ("turning", None, ())
    assert state(("wheel", "east"), ("shaft", "west"), ("slow", "west")) == (
        "conflicting",
        "movers",
        (3,),
    )
