"""The parts of an audit as a table."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

from analyzer.findings.audit import Audit
from analyzer.report.parts_csv import COLUMNS, iter_parts_csv
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, audit_of, machine, mechanism, mover

ONE = Fraction(1)


def rows(audit: Audit) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO("".join(iter_parts_csv(audit)))))


def numbers(audit: Audit) -> list[tuple[str, ...]]:
    keys = ("rpm", "rpm_exact", "power", "power_exact")
    return [tuple(row[key] for key in keys) for row in rows(audit)]


def test_the_columns_are_those_of_the_contract() -> None:
    assert ",".join(COLUMNS) == (
        "dimension,x,y,z,block,role,network,state,rpm,rpm_exact,power,power_exact"
    )
    assert "".join(iter_parts_csv(audit_of(mechanism([])))) == ",".join(COLUMNS) + "\n"


def test_parts_come_by_dimension_and_position_with_their_network() -> None:
    audit = demo_audit()
    found = rows(audit)
    places = [(row["dimension"], int(row["x"]), int(row["y"]), int(row["z"])) for row in found]
    assert places == sorted(places)
    assert len(found) == len(audit.parts)
    for row in found:
        dimension, _, place = row["network"].rpartition(":")
        assert dimension == row["dimension"]
        assert tuple(map(int, place.split(","))) in {one[1:] for one in places}


def test_speeds_and_powers_are_exact() -> None:
    parts = [mover(8), machine(Fraction(1, 7)), machine(8)]
    audit = audit_of(mechanism(parts, [(0, 1, Fraction(-1, 3)), (1, 2, ONE)]))
    assert numbers(audit) == [
        ("8", "8", "256", "256"),
        (str(-8 / 3), "-8/3", str(8 / 21), "8/21"),
        (str(-8 / 3), "-8/3", str(64 / 3), "64/3"),
    ]


def test_an_idle_network_has_neither_speed_nor_power() -> None:
    audit = audit_of(mechanism([mover(0), machine(8)], [(0, 1, ONE)]))
    assert numbers(audit) == [("", "", "", "")] * 2


def test_a_conflicting_network_shows_what_its_movers_would_give() -> None:
    audit = audit_of(mechanism([mover(8), SHAFT, mover(-8)], [(0, 1, ONE), (1, 2, ONE)]))
    assert numbers(audit) == [("", "", "256", "256"), ("", "", "", ""), ("", "", "256", "256")]


def test_an_overloaded_network_shows_what_its_speeds_would_be() -> None:
    audit = audit_of(mechanism([mover(8), machine(40)], [(0, 1, ONE)]))
    assert [row["state"] for row in rows(audit)] == ["overloaded"] * 2
    assert numbers(audit)[1] == ("8", "8", "320", "320")


def test_parts_of_networks_not_asked_about_are_left_out() -> None:
    audit = audit_of(mechanism([SHAFT] * 3, selected=[1]))
    assert [row["x"] for row in rows(audit)] == ["1"]
