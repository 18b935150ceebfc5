"""Full disks and closed pipes: one line, the right status, and never half a report."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.damage.damage import BESIDE, CATALOGUE

pytestmark = pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The command that audits a sound region folder."""
    folder = tmp_path_factory.mktemp("output")
    catalogue = folder / "slipway.toml"
    catalogue.write_text(CATALOGUE, "utf-8")
    home = folder / "region"
    home.mkdir()
    (home / "r.-1.0.mca").write_bytes(BESIDE)
    run = [sys.executable, "-m", "analyzer.cli.main", "audit", str(home)]
    return [*run, "--catalogue", str(catalogue), "--no-config", "--no-cache"]


def ended(command: list[str], **how: Any) -> tuple[int, str]:
    done = subprocess.run(command, stderr=subprocess.PIPE, check=False, text=True, **how)
    return done.returncode, done.stderr


def test_a_full_disk_under_standard_output_ends_with_one_line(asked: list[str]) -> None:
    with Path("/dev/full").open("wb") as full:
        status, told = ended(asked, stdout=full)
    assert (status, told) == (
        2,
        "lineshaft: standard output: cannot be written: No space left on device.\n",
    )


def test_a_full_disk_under_a_report_ends_with_one_line(asked: list[str]) -> None:
    status, told = ended([*asked, "--output", "/dev/full"], stdout=subprocess.DEVNULL)
    assert (status, told) == (
        2,
        "lineshaft: /dev/full: cannot be written: No space left on device.\n",
    )


@pytest.mark.parametrize("form", ["json", "html"])
def test_a_disk_that_fills_up_leaves_the_former_report(
    asked: list[str], tmp_path: Path, form: str
) -> None:
    report = tmp_path / "report"
    report.write_text("former", "utf-8")
    command = shlex.join([*asked, "--format", form, "--output", str(report)])
    # In blocks of 512 or 1024 bytes.
    status, told = ended(["sh", "-c", f"ulimit -f 1; exec {command}"])
    assert (status, told) == (2, f"lineshaft: {report}: cannot be written: File too large.\n")
    assert [found.name for found in tmp_path.iterdir()] == ["report"]
    assert report.read_text("utf-8") == "former"


def test_a_pipe_closed_behind_the_first_bytes_ends_quietly(asked: list[str]) -> None:
    reader, writer = os.pipe()
    with os.fdopen(writer, "wb") as pipe:
        running = subprocess.Popen(
            [*asked, "--format", "html"], stdout=pipe, stderr=subprocess.PIPE
        )
    assert os.read(reader, 100).startswith(b"<!")
    os.close(reader)
    _, told = running.communicate()
    assert (running.returncode, told) == (0, b"")


@pytest.mark.parametrize("given", [["/no/such/save"], ["--no-such-option"]])
@pytest.mark.parametrize("deaf", ["2>/dev/full", "2>&-"])
def test_errors_that_nobody_can_hear_change_no_status(
    asked: list[str], given: list[str], deaf: str
) -> None:
    command = shlex.join([*asked[:4], *given])
    assert ended(["sh", "-c", f"{command} {deaf}"]) == (2, "")


@pytest.mark.parametrize("deaf", ["2>/dev/full", "2>&-"])
def test_a_report_needs_nobody_to_hear_errors(asked: list[str], tmp_path: Path, deaf: str) -> None:
    report = tmp_path / "report.txt"
    command = shlex.join([*asked, "--output", str(report)])
    assert ended(["sh", "-c", f"{command} {deaf}"]) == (0, "")
    assert report.stat().st_size > 0


def test_a_closed_standard_output_is_told(asked: list[str]) -> None:
    assert ended(["sh", "-c", f"{shlex.join(asked)} >&-"]) == (
        2,
        "lineshaft: standard output: is closed. Name a file: --output FILE.\n",
    )
