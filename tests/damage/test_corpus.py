"""Every fault of the corpus through the command line: what is told of it, and what is not lost."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.damage.damage import CATALOGUE, Damage
from tests.damage.make_corpus import iter_corpus
from tests.support.command import lineshaft

CORPUS = tuple(iter_corpus())


def audited(folder: Path, damage: Damage, *options: str) -> tuple[int, dict[str, Any]]:
    catalogue = folder / "slipway.toml"
    catalogue.write_text(CATALOGUE, "utf-8")
    home = damage.write(folder)
    asked = ["--format", "json", "--no-config", "--no-cache", *options]
    done = lineshaft("audit", home, "--catalogue", catalogue, *asked)
    assert done.err == ""
    return done.status, json.loads(done.out)


@cache
def by_name() -> dict[str, Damage]:
    return {damage.name: damage for damage in CORPUS}


def test_each_fault_has_a_name_of_its_own() -> None:
    assert len(by_name()) == len(CORPUS)


@pytest.mark.parametrize("name", by_name())
@pytest.mark.parametrize("every_byte", [False, True], ids=["sifted", "every-byte"])
def test_a_fault_is_told_and_costs_no_more_than_its_chunk(
    tmp_path: Path, name: str, every_byte: bool
) -> None:
    damage = by_name()[name]
    status, report = audited(tmp_path, damage, *(["--every-byte"] if every_byte else []))
    seen = damage.reason is not None and (damage.seen_always or every_byte)
    of_file = damage.reason == "short-header"
    told = [
        (fault["file"], fault["chunk"], fault["reason"], fault["offset"])
        for fault in report["unread"]
    ]
    chunk = None if of_file else [0, 0]
    assert told == ([("r.0.0.mca", chunk, damage.reason, damage.offset)] if seen else [])
    assert status == (3 if seen else 0)
    assert report["scan"]["chunks"]["unreadable"] == (1 if seen and not of_file else 0)
    networks = {network["id"]: network for network in report["networks"]}
    cuts = {name: [cut["reason"] for cut in one["cut"]] for name, one in networks.items()}
    if seen:
        # The shafts beside it point into what could not be read.
        assert cuts["unnamed:-2,64,8"] == ["absent" if of_file else "unreadable"]
    elif damage.reason is None:
        # It is read all the same, and the drive goes on across the border.
        assert cuts["unnamed:-2,64,8"] == []
        assert networks["unnamed:-2,64,8"]["state"] == "turning"
    if damage.rest:
        assert (networks["unnamed:85,64,88"]["state"], cuts["unnamed:85,64,88"]) == ("turning", [])
