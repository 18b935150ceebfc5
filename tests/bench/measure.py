"""Time whole processes, from start to exit, in turn with what they are compared with."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from statistics import median
from typing import Any


@dataclass(frozen=True)
class Timing:
    """What some runs of one command took.

    Parameters
    ----------
    command
        The command, as one would type it.
    seconds
        Wall-clock time of each run.
    peak_mib
        Largest resident size of any one of its processes, in MiB.
    """

    command: str
    seconds: tuple[float, ...]
    peak_mib: float

    @property
    def median(self) -> float:
        """The middle one of the times, in seconds."""
        return median(self.seconds)

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values, with the times to a millisecond."""
        values = asdict(self)
        values["seconds"] = [round(value, 4) for value in self.seconds]
        values["peak_mib"] = round(self.peak_mib, 1)
        return {**values, "median": round(self.median, 4)}


def in_turn(*commands: Sequence[str], runs: int, warm: bool = True) -> list[Timing]:
    """Run commands in turn, round by round.

    Parameters
    ----------
    commands
        Arguments of each; ``python`` stands for this interpreter.
    runs
        How many rounds count.
    warm
        Whether one round goes before them that does not count.
    """
    seconds: list[list[float]] = [[] for _ in commands]
    peaks = [0.0] * len(commands)
    for turn in range(-1 if warm else 0, runs):
        for number, command in enumerate(commands):
            took, peak = _run(command)
            if turn >= 0:
                seconds[number].append(took)
            peaks[number] = max(peaks[number], peak)
    return [
        Timing(" ".join(command), tuple(times), peak)
        for command, times, peak in zip(commands, seconds, peaks, strict=True)
    ]


def output_of(command: Sequence[str]) -> str:
    """Run a command once and return what it prints."""
    return subprocess.run(_real(command), check=True, capture_output=True, text=True).stdout


def _run(command: Sequence[str]) -> tuple[float, float]:
    """Return the seconds that a command takes and the largest of its processes in MiB."""
    # A process of its own, since the largest child of all so far is all that a process is told.
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        start = time.perf_counter()
        status = subprocess.run(
            _real(command), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False
        )
        took = time.perf_counter() - start
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        said = status.stderr.decode(errors="replace")[-300:] if status.returncode > 1 else ""
        os.write(writing, f"{took} {peak} {status.returncode} {said}".encode())
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as answer:
        took, peak, status, said = answer.read().decode().split(" ", 3)
    os.waitpid(child, 0)
    if int(status) > 1:
        raise RuntimeError(f"{' '.join(command)} ended with {status}: {said}")
    return float(took), float(peak)


def _real(command: Sequence[str]) -> list[str]:
    first, *rest = command
    if first == "python":
        return [sys.executable, *rest]
    if first == "lineshaft":
        return [str(Path(sys.executable).with_name("lineshaft")), *rest]
    return list(command)
