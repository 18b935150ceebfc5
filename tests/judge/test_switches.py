"""The judge on clutches, reversers and what is not looked at."""

from __future__ import annotations

from typing import Any

import pytest

from tests.judge.build import driving, here, keeping, loaded, shaft, solved, speed_at, wheel
from tests.judge.stored import Tagged
from tests.judge.views import View

LIT = {"property": "lit", "values": {"false": 0, "true": 1}}


def clutch(*ports: str, **more: Any) -> dict[str, Any]:
    return {"switch": {"kind": "clutch", "opens": list(ports), "on": LIT}, **more}


def reverser(port: str, **more: Any) -> dict[str, Any]:
    return {"switch": {"kind": "reverser", "flips": port, "on": LIT}, **more}


def lit(name: str, pose: str, *, on: bool) -> tuple[Any, ...]:
    return (name, pose, None, {"lit": str(on).lower()})


@pytest.mark.parametrize("on", [True, False])
def test_a_clutch_opens_its_ports_while_it_is_off(on: bool) -> None:
    entries = {"motor": driving(shaft(), 4), "clutch": shaft(**clutch("front")), "shaft": shaft()}
    verdicts = solved(
        entries,
        {
            (0, 0, 0): ("motor", "east"),
            (1, 0, 0): lit("clutch", "east", on=on),
            (2, 0, 0): ("shaft", "east"),
        },
    )
    # Its back stays closed.
    assert speed_at(verdicts, 1, 0, 0) == 4
    assert speed_at(verdicts, 2, 0, 0) == (4 if on else None)
    assert len(verdicts) == (1 if on else 2)


def test_either_of_two_clutches_opens_what_is_between_them() -> None:
    entries = {"motor": driving(shaft(**clutch("front")), 4), "clutch": shaft(**clutch("back"))}
    for one in (True, False):
        for other in (True, False):
            verdicts = solved(
                entries,
                {
                    (0, 0, 0): lit("motor", "east", on=one),
                    (1, 0, 0): lit("clutch", "east", on=other),
                },
            )
            assert len(verdicts) == (1 if one and other else 2)


@pytest.mark.parametrize("on", [True, False])
def test_an_open_clutch_in_a_loop_that_contradicts_itself_ends_the_conflict(on: bool) -> None:
    # Two wheels in mesh, with a chain round both, which would turn them the same way.
    chain = [{"at": [0, 1, 0], "types": ["clutch"], "ratio": 1}]
    entries = {"motor": driving(wheel(8, meets=chain), 4), "clutch": wheel(8, **clutch("rim"))}
    (network,) = solved(entries, {(0, 0, 0): ("motor", "x"), (0, 1, 0): lit("clutch", "x", on=on)})
    assert (network.state, network.loops) == (("conflicting", (2,)) if on else ("turning", ()))


def test_a_reverser_flips_its_port_while_it_is_on_and_two_of_them_multiply() -> None:
    entries = {"motor": driving(shaft(**reverser("front")), 4), "box": shaft(**reverser("back"))}
    for one in (True, False):
        for other in (True, False):
            verdicts = solved(
                entries,
                {
                    (0, 0, 0): lit("motor", "east", on=one),
                    (1, 0, 0): lit("box", "east", on=other),
                },
            )
            assert speed_at(verdicts, 1, 0, 0) == (4 if one == other else -4)


def test_a_reverser_at_the_rim_flips_every_mesh_of_it() -> None:
    entries = {"motor": driving(wheel(8, **reverser("rim")), 4), "wheel": wheel(8)}
    build = {(0, 1, 0): ("wheel", "x"), (0, -1, 0): ("wheel", "x"), (1, 0, 0): ("wheel", "x")}
    verdicts = solved(entries, {(0, 0, 0): lit("motor", "x", on=True), **build})
    assert [speed_at(verdicts, *at) for at in build] == [4, 4, 4]


def test_switches_reach_belts_but_no_own_offset() -> None:
    def other_speed(port: str, **joint: Any) -> Any:
        switch = {"kind": "reverser", "flips": port, "on": 1}
        entries = {
            "motor": driving(keeping(shaft(switch=switch, **joint)), 4),
            "pulley": keeping(shaft(link={})),
        }
        partner = {"Partner": [Tagged("int", 0), Tagged("int", 1), Tagged("int", 0)]}
        build = {(0, 0, 0): ("motor", "east", partner), (0, 1, 0): ("pulley", "east", {})}
        return speed_at(solved(entries, build), 0, 1, 0)

    link = {"partner": {"stored": "Partner", "form": "list"}}
    assert other_speed("link", link=link) == -4
    meets = [{"at": [0, 1, 0], "types": ["pulley"], "ratio": 1}]
    assert other_speed("front", meets=meets) == 4


def test_a_switch_whose_number_cannot_be_used_is_off_and_cuts_the_network() -> None:
    switch = {"kind": "clutch", "opens": ["front"], "on": {"stored": "On"}}
    entries = {"motor": driving(keeping(shaft(switch=switch)), 4), "shaft": shaft()}
    build = {(0, 0, 0): ("motor", "east", {}), (1, 0, 0): ("shaft", "east")}
    first, second = solved(entries, build)
    assert (first.cut, second.cut) == (True, False)
    build[0, 0, 0] = ("motor", "east", {"On": Tagged("double", 0.5)})
    (network,) = solved(entries, build)
    assert not network.cut


def test_what_aims_at_a_chunk_not_looked_at_cuts_the_network() -> None:
    view = View(frozenset({("quay", 0, 0)}))

    def cut(entry: dict[str, Any], at: tuple[int, int, int], *pose: Any) -> bool:
        (network,) = solved({"part": entry}, {at: ("part", *pose)}, view=view)
        return network.cut

    assert cut(shaft(), (15, 0, 8), "east")
    assert not cut(shaft(), (14, 0, 8), "east")
    assert not cut(shaft(), (15, 0, 8), "south")
    # Above and below there is no chunk's border.
    assert not cut(shaft(), (15, -64, 8), "up")
    assert cut(shaft(**clutch("front", "back")), (15, 0, 8), "east", None, {"lit": "false"})
    assert cut(shaft(ends={"front": {"factor": 1, "cell": [3, 0, 0]}}), (12, 0, 8), "east")
    assert not cut(shaft(ends={"front": {"factor": 1, "cell": [3, 0, 0]}}), (11, 0, 8), "east")
    near, far = wheel(8, ends={}), wheel(8, "far", ends={})
    assert cut(near, (15, 0, 8), "y")
    assert not cut(near, (15, 0, 8), "x")
    assert cut(far, (15, 0, 8), "x")
    assert cut(
        wheel(8, ends={}, rim={"kind": "far", "teeth": 8, "placements": ["crossed"]}),
        (15, 0, 8),
        "x",
    )
    assert not cut(
        wheel(8, ends={}, rim={"kind": "far", "teeth": 8, "placements": ["diagonal"]}),
        (15, 0, 8),
        "x",
    )
    meets = [{"at": [0, 0, 3], "types": ["part"], "ratio": 1}]
    assert cut(shaft(ends={}, meets=meets), (13, 0, 8), "north")
    assert not cut(shaft(ends={}, meets=meets), (12, 0, 8), "north")


def test_parts_in_a_chunk_not_looked_at_are_not_there() -> None:
    entries = {"motor": driving(shaft(), 4), "shaft": shaft()}
    build = {(15, 0, 0): ("shaft", "east"), (16, 0, 0): ("motor", "east")}
    (network,) = solved(entries, build, view=View(frozenset({("quay", 0, 0)})))
    assert (network.members, network.state, network.cut) == ((here(15, 0, 0),), "idle", True)


@pytest.mark.parametrize("key", ["rated_rpm", "torque", "active"])
def test_a_mover_with_a_number_that_cannot_be_used_is_not_active(key: str) -> None:
    entry = driving(shaft(), 4)
    entries = {"motor": keeping({**entry, key: {"stored": "N"}}), "shaft": shaft()}
    build = {(0, 0, 0): ("motor", "east", {"N": Tagged("double", float("nan"))})}
    (network,) = solved(entries, {**build, (1, 0, 0): ("shaft", "east")})
    assert (network.state, network.capacity, network.cut) == ("idle", 0, True)


def test_a_machine_whose_torque_cannot_be_used_asks_for_nobody_knows_what() -> None:
    loom = keeping(loaded(shaft(), {"stored": "N"}))
    entries = {"motor": driving(shaft(), 4), "loom": loom}
    build = {(0, 0, 0): ("motor", "east"), (1, 0, 0): ("loom", "east", {"N": Tagged("int", -1)})}
    (network,) = solved(entries, build)
    assert (network.state, network.demand, network.cut) == ("turning", None, True)
