"""What a start costs: nothing is imported that is not needed."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib import import_module
from importlib.metadata import version
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from analyzer.cli.commands import COMMANDS, cli
from analyzer.pipeline.workers import FEW_REGIONS
from analyzer.report.version import VERSION, VERSION_LINE
from tests.save.chunks import chunk_tree, region, region_file, stored
from tests.support.command import lineshaft
from tests.support.demo import demo_save

HEAVY = {
    "analyzer.catalogue",
    "analyzer.findings",
    "analyzer.save",
    "deflate",
    "email",
    "importlib.metadata",
    "logging",
    "lz4",
    "multiprocessing",
    "nbtlib",
    "networkx",
    "numpy",
    "platformdirs",
    "scipy",
}

#: What of the standard library takes long to be imported, and is used by commands alone.
SLOW = {"concurrent.futures", "decimal", "json", "pathlib", "pickle", "subprocess", "tomllib"}
#: What an audit has no use for where no part is found, nothing is kept and no process is started
#: afresh.
UNUSED = {
    "distributed",
    "email",
    "importlib.metadata",
    "llvmlite",
    "multiprocessing",
    "nbtlib",
    "networkx",
    "numba",
    "platformdirs",
    "scipy",
    "sqlite3",
    "subprocess",
    "tempfile",
}


def loaded_by(*arguments: str, before: str = "") -> set[str]:
    """Return the modules that a command has imported when it ends."""
    script = (
        f"import sys\n{before}\n"
        "from analyzer.cli.main import run\n"
        f"run({list(arguments)!r})\n"
        "print('loaded', *sys.modules, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-c", f"import sys; sys.path[:] = {sys.path!r}\n{script}"],
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stderr.split("loaded ", 1)[1].split())


@pytest.mark.parametrize("option", ["--version", "--help", "-h"])
def test_version_and_help_import_nothing_heavy_and_no_command(option: str) -> None:
    loaded = loaded_by(option)
    assert loaded & (HEAVY | SLOW) == set()
    commands = {name for name in COMMANDS if f"analyzer.cli.{name}" in loaded}
    assert commands == set()


def test_the_version_comes_before_the_library_for_command_lines() -> None:
    assert loaded_by("--version") & {"click", "dataclasses", "inspect"} == set()


def test_the_version_is_the_same_where_the_library_for_command_lines_says_it() -> None:
    shown = CliRunner().invoke(cli, ["--version"])
    done = lineshaft("--version")
    assert (shown.exit_code, shown.stdout) == (done.status, done.out) == (0, f"{VERSION_LINE}\n")
    # Other options and commands beside it are for that library to understand.
    assert lineshaft("--version", "--help").out == done.out
    assert lineshaft("audit", "--version").status == 2


@pytest.mark.skipif(sys.platform != "linux", reason="no copies")
def test_an_audit_without_parts_imports_nothing_that_it_does_not_use(tmp_path: Path) -> None:
    for number in range(FEW_REGIONS + 1):
        region_file(tmp_path, region({0: stored(chunk_tree(32 * number, 0))}), number, 0)
    catalogue = Path(__file__).parents[1] / "bench" / "entities.toml"
    loaded = loaded_by("audit", str(tmp_path), "--catalogue", str(catalogue), "--no-cache")
    assert "analyzer.pipeline.child" in loaded
    assert loaded & UNUSED == set()


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_a_command_imports_nothing_heavy(command: str) -> None:
    assert loaded_by(command, "--help") & HEAVY == set()


def test_an_audit_of_regions_that_are_known_imports_nothing_that_reads_one(tmp_path: Path) -> None:
    # The demo's files are of just now.
    settled = "from analyzer.save.files import region_marks; region_marks.SETTLED_NS = -(10**12)"
    audit = ("audit", str(demo_save()), "--catalogue", "quayworks", "--cache", str(tmp_path))
    first, second = (loaded_by(*audit, before=settled) for _ in range(2))
    assert "analyzer.save.scan.scan_region" in first
    assert "analyzer.save.scan.scan_region" not in second


@pytest.mark.skipif(sys.platform != "linux", reason="threads are counted in /proc")
def test_no_threads_are_started_for_linear_algebra() -> None:
    audit = ["audit", str(demo_save()), "--catalogue", "quayworks", "--no-cache"]
    script = (
        "import os, sys\n"
        "from analyzer.cli.main import main\n"
        f"try: main({audit!r})\n"
        "except SystemExit: print('numpy' in sys.modules, len(os.listdir('/proc/self/task')))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        env={key: value for key, value in os.environ.items() if key != "OPENBLAS_NUM_THREADS"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines()[-1] == "True 1"


@pytest.mark.parametrize("command", COMMANDS)
def test_the_list_of_commands_says_what_each_says_of_itself(command: str) -> None:
    found: click.Command = import_module(f"analyzer.cli.{command.replace('-', '_')}").command
    assert COMMANDS[command] == found.get_short_help_str(limit=80)


@pytest.mark.skipif(sys.platform != "linux", reason="no copies")
@pytest.mark.parametrize("command", ["audit", "audit with cache", "fleet", "survey", "share-check"])
def test_processes_are_copies_since_no_library_has_begun_threads(
    command: str, tmp_path: Path
) -> None:
    script = (
        "from analyzer.cli.main import main\n"
        "from analyzer.pipeline import child, fleet, workers\n"
        "fleet.FEW_REGIONS = workers.FEW_REGIONS = 0\n"
        "copy = child.start_copy\n"
        "child.start_copy = lambda modules: print('copied') or copy(modules)\n"
        "child.start_afresh = None\n"
    )
    name, *with_cache = command.replace("fleet", "audit").split(" with ")
    arguments = [name, str(demo_save()), "--jobs", "2", "--output", str(tmp_path / "report")]
    if command == "fleet":
        arguments.insert(1, str(demo_save()))
    if name == "audit":
        cache = ["--cache", str(tmp_path / "cache")] if with_cache else ["--no-cache"]
        arguments += ["--catalogue", "quayworks", *cache]
    done = subprocess.run(
        [sys.executable, "-c", f"{script}main({arguments!r})"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert set(done.stdout.split()) == {"copied"}, done.stderr


def test_the_way_out_does_not_search_all_for_garbage() -> None:
    script = (
        "import atexit, gc; from analyzer.cli.main import main\n"
        "atexit.register(lambda: print(len(gc.get_objects()) < gc.get_freeze_count()))\n"
        "main(['--help'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "True"


def test_the_version_is_that_of_the_installed_package() -> None:
    assert version("lineshaft") == VERSION
