"""The bytes of an audit are the same whatever the seed of hashing and the number of workers."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from itertools import chain
from pathlib import Path

import pytest

from analyzer.base.place import Block
from analyzer.demo.content import Content
from analyzer.demo.write import write_save
from analyzer.pipeline.audit import audit_save
from analyzer.report.audit_json import iter_audit_json
from tests.properties.examples import drawn, holds
from tests.properties.strategies_builds import builds, placed
from tests.support.check import checked

SUBJECT = "Properties: builds"
BUILDS = 40
SEEDS = ("0", "1", "4242")
HASHED = holds(
    SUBJECT,
    "P13",
    f"one save of many builds, audited as JSON with PYTHONHASHSEED {', '.join(SEEDS)}",
    "the same bytes",
    BUILDS,
)
THREADED = holds(
    SUBJECT,
    "P14",
    "the same save, audited here and on 1, 2 and 4 threads",
    "the same bytes",
    BUILDS,
)
DIMENSIONS = ("minecraft:overworld", "minecraft:the_nether")
#: From build to build, in blocks: more than a build reaches, and no multiple of a chunk.
APART = 72


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A save with the drawn builds in rows across regions, in two dimensions."""
    found = drawn(builds(), BUILDS)
    contents = {}
    for number, dimension in enumerate(DIMENSIONS):
        own = found[number :: len(DIMENSIONS)]
        corners = [Block(APART * (place - 12), 60, -4 - place) for place in range(len(own))]
        blocks = [placed(build, corner) for build, corner in zip(own, corners, strict=True)]
        contents[dimension] = Content(tuple(chain.from_iterable(blocks)))
    folder = tmp_path_factory.mktemp("yard")
    write_save(folder, contents)
    return folder


def audited_json(folder: Path, threads: int) -> str:
    with ThreadPoolExecutor(threads) as pool:
        audit = audit_save(folder, catalogues=["quayworks"], executor=pool)
    return "".join(iter_audit_json(audit))


@checked(HASHED)
def test_the_seed_of_hashing_does_not_show(yard: Path, tmp_path: Path) -> None:
    answers = {answer(yard, seed=seed, keep=tmp_path / seed) for seed in SEEDS}
    (same,) = answers
    told = json.loads(same)
    assert told["scan"]["regions"] > 4
    assert {network["state"] for network in told["networks"]} > {"turning", "idle"}


def answer(yard: Path, *, seed: str, keep: Path) -> bytes:
    """Audit in a process of its own, which may keep things, but not for another to find."""
    command = [sys.executable, "-m", "analyzer.cli.main", "audit", str(yard)]
    done = subprocess.run(
        [*command, "--catalogue", "quayworks", "--format", "json"],
        env={**os.environ, "PYTHONHASHSEED": seed, "XDG_CACHE_HOME": str(keep)},
        capture_output=True,
        check=False,
    )
    assert done.stderr == b""
    return done.stdout


@checked(THREADED)
def test_the_number_of_threads_does_not_show(yard: Path) -> None:
    one, two, four = (audited_json(yard, threads) for threads in (1, 2, 4))
    here = "".join(iter_audit_json(audit_save(yard, catalogues=["quayworks"])))
    assert one == two == four == here
