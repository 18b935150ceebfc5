"""What can be set: properties that throw a switch or a mover, and nothing that says more."""

from __future__ import annotations

from pathlib import Path

from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.switching.explore import explore_switches
from analyzer.switching.levers import find_levers
from tests.support.audits import audited_text
from tests.support.saves import save_of
from tests.support.sketch import sketch

#: A mill whose machine has its own clutch: let in deep it asks for twice as much.
CATALOGUE = """
[catalogue]
format = 1
title = "Mill"
namespace = "quayworks"
version = "1"
licence = "MIT"

[parts."quayworks:treadwheel"]
role = "mover"
entity = ["quayworks:treadwheel"]
pose = {{facing = "facing"}}
ends = {{front = 1, back = -1}}
rated_rpm = {{property = "walkers", values = {{"0" = 4, "1" = 4, "2" = 8, "3" = -8}}}}
torque = 12
active = {{property = "walkers", values = {{"0" = 0, "1" = 1, "2" = 1, "3" = 1}}}}

[parts."quayworks:dog_clutch"]
role = "machine"
entity = ["quayworks:dog_clutch"]
pose = {{axis = "axis"}}
ends = {{front = 1, back = -1}}
torque = {{property = "lever", values = {{"in" = 4, "out" = 8}}}}
switch = {{kind = "clutch", opens = ["back"], on = {on}}}
"""
BY_LEVER = '{property = "lever", values = {"in" = 1, "out" = 0}}'
BY_AXIS = '{property = "axis", values = {"x" = 1, "y" = 0, "z" = 0}}'
STORED = '{stored = "In", default = 1}'


def audited(folder: Path, on: str, build: str = "tread:w,walkers=1 clutch:x,lever=in") -> Audit:
    return audited_text(save_of(folder, sketch(build)), CATALOGUE.format(on=on))


def test_numbers_that_a_property_gives_beside_the_state_change_with_it(tmp_path):
    audit = audited(tmp_path, BY_LEVER)
    wheel, machine = find_levers(audit.parts, audit.couplings, Policy()).items
    assert [one.value for one in wheel.settings] == ["1", "0", "2", "3"]
    # The wheel looks west: about the positive axis it turns the other way round.
    assert [dict(one.numbers)[Field.RATED_RPM] for one in wheel.settings] == [-4, -4, -8, 8]
    assert [dict(one.numbers)[Field.TORQUE] for one in machine.settings] == [4, 8]
    (assembly,) = explore_switches(audit).assemblies
    assert (assembly.switches, assembly.movers, assembly.states) == (1, 1, 8)
    assert assembly.demand is not None
    assert (assembly.demand.amount, assembly.demand.capacity) == (32, 96)


def test_the_bound_takes_the_most_that_a_machine_can_ask_for(tmp_path):
    (assembly,) = explore_switches(audited(tmp_path, BY_LEVER), most_states=1).assemblies
    assert assembly.extent == "none"
    assert assembly.bound is not None
    assert (assembly.bound.demand, assembly.bound.capacity, assembly.bound.speed) == (64, 96, 8)


def test_a_property_that_also_turns_the_part_is_left_alone(tmp_path):
    switching = explore_switches(audited(tmp_path, BY_AXIS))
    assert switching.fixed == 1
    assert [one.switches for one in switching.assemblies] == [0]


def test_a_state_that_is_stored_is_left_alone(tmp_path):
    switching = explore_switches(audited(tmp_path, STORED))
    assert switching.fixed == 1
    assert [one.switches for one in switching.assemblies] == [0]
