"""The networks for machines, made column by column, held against each row written by itself."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.parts.parts import Unusable
from analyzer.report import networks_json
from analyzer.report.cut_rows import CutRow, cuts_by_network
from analyzer.report.json_text import Lines, iter_json
from analyzer.report.network_rows import NetworkRow, iter_network_rows
from analyzer.report.networks_json import network_lines
from analyzer.report.quantities import exact_of, number_of
from analyzer.solution.solution import Conflict
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, Part, audit_of, machine, mechanism, mover

ODD_NAMES = ("ropewalk:Ölmühle", 'quay:"\\', "quay:\ud83d", "tide:\U0001f6a2")


def plain(row: NetworkRow, cuts: Sequence[CutRow]) -> dict[str, Any]:
    powers = {
        "capacity": row.capacity_power,
        "demand": row.demand_power,
        "headroom": row.headroom_power,
    }
    return {
        "id": f"{row.dimension}:{row.anchor.x},{row.anchor.y},{row.anchor.z}",
        "dimension": row.dimension,
        "state": row.state.name.lower(),
        "conflict": None if row.conflict == Conflict.NONE else row.conflict.name.lower(),
        "parts": row.parts,
        "movers": row.movers,
        "active_movers": row.active_movers,
        "machines": row.machines,
        "switches": row.switches,
        **{
            key: text
            for name, power in powers.items()
            for key, text in ((name, number_of(power)), (f"{name}_exact", exact_of(power)))
        },
        "anchor": row.anchor,
        "box": [row.low, row.high],
        "chunks": row.chunks,
        "cut": [{"at": cut.at, "towards": cut.towards, "reason": cut.reason} for cut in cuts],
        "taken_while_running": row.taken_while_running,
    }


def plain_text(audit: Audit) -> str:
    cuts = cuts_by_network(audit)
    rows = [plain(row, cuts.get(row.number, ())) for row in iter_network_rows(audit)]
    lines = ",\n".join(map(json.dumps, rows))
    return f"[\n{lines}\n]" if rows else "[]"


def text(audit: Audit) -> str:
    document = "".join(iter_json({"networks": network_lines(audit)}))
    return document.removeprefix('{\n"networks": ').removesuffix("\n}\n")


def test_the_demo_is_written_as_row_by_row() -> None:
    assert text(demo_audit()) == plain_text(demo_audit())


def test_without_networks_the_list_is_empty() -> None:
    audit = audit_of(mechanism([]))
    assert text(audit) == plain_text(audit) == "[]"
    unasked = audit_of(mechanism([SHAFT], selected=[]))
    assert text(unasked) == plain_text(unasked) == "[]"


@pytest.mark.parametrize("seed", range(20))
def test_random_builds_are_written_as_row_by_row(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(networks_json, "_AT_ONCE", 7)
    audit = random_audit(random.Random(seed))
    assert len({row.dimension for row in iter_network_rows(audit)}) > 1
    assert text(audit) == plain_text(audit)


def random_audit(chance: random.Random) -> Audit:
    kinds = [
        SHAFT,
        Part(switch=True),
        mover(8),
        mover(-8),
        mover(Fraction(1, 3), 1),
        machine(8),
        machine(Fraction(1, 7)),
        machine(10**9),
    ]
    parts = [
        replace(chance.choice(kinds), dimension=name)
        for name in sorted(ODD_NAMES)
        for _ in range(9)
    ]
    couplings = [
        (part, part + 1, chance.choice([Fraction(1), Fraction(2, 3)]))
        for part in range(len(parts) - 1)
        if parts[part].dimension == parts[part + 1].dimension and chance.random() < 0.4
    ]
    case = mechanism(
        parts,
        couplings,
        cut=sorted(chance.sample(range(len(parts)), 5)),
        unusable=[Unusable(chance.randrange(len(parts)), Field.SWITCH, "On", "text")],
    )
    case = replace(case, selected=np.array([chance.random() < 0.8 for _ in case.selected]))
    taken = frozenset(chance.sample(range(len(case.networks)), 3))
    return replace(audit_of(case), taken_while_running=taken)


def test_lines_are_a_list_like_any_other() -> None:
    entries = [{"a": 1}, {"b": [2]}, {"c": None}]
    lines = Lines(['{"a": 1},\n{"b": [2]}', '{"c": null}'])
    assert "".join(iter_json({"x": lines})) == "".join(iter_json({"x": entries}))
    assert "".join(iter_json({"x": Lines(())})) == "".join(iter_json({"x": []}))


def test_each_network_is_measured_by_its_own_members() -> None:
    audit = demo_audit()
    for row in iter_network_rows(audit):
        xyz = audit.parts.xyz[audit.networks.members(row.number)].tolist()
        assert row.chunks == len({(x >> 4, z >> 4) for x, _, z in xyz})
        assert row.low == tuple(min(axis) for axis in zip(*xyz, strict=True))
        assert row.high == tuple(max(axis) for axis in zip(*xyz, strict=True))
        assert row.parts == len(xyz)
