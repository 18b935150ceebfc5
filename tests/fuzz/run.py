"""Runs mutated inputs: ``python -m tests.fuzz.run --inputs 1000000 --seed 1``.

Everything follows from the seed. An input that shows something new is mutated further. What goes
wrong is written into a folder, with what was raised, and the run goes on.
"""

from __future__ import annotations

import argparse
import resource
import time
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import blake2b
from pathlib import Path
from typing import Final

from tests.fuzz.invariants import bounded_time
from tests.fuzz.mutate import Mutator
from tests.fuzz.target import Target
from tests.fuzz.targets import TARGETS

_ROUND: Final = 500
_MOST_KEPT: Final = 2_000


@dataclass
class Tally:
    """What a target's inputs came to.

    Parameters
    ----------
    outcomes
        How many inputs ended in each way.
    slowest_seconds
        Time that the slowest input took.
    faults
        Inputs by what was raised and where; one for each.
    """

    inputs: int = 0
    seconds: float = 0.0
    slowest_seconds: float = 0.0
    outcomes: Counter[str] = field(default_factory=Counter)
    faults: dict[str, bytes] = field(default_factory=dict)


class Fuzzing:
    """The inputs of one target, from the true ones on.

    Parameters
    ----------
    target, seed
        What is run, and what its inputs follow from.
    """

    def __init__(self, target: Target, seed: int) -> None:
        self.target = target
        self.tally = Tally()
        self._mutator = Mutator(f"{target.name} {seed}")
        self._pool = list(target.seeds())
        self._true = len(self._pool)

    def run_seeds(self) -> None:
        """Run the true inputs."""
        for data in self._pool[: self._true]:
            self._run(data)

    def run(self, inputs: int) -> None:
        """Run mutated inputs."""
        random = self._mutator.random
        for _ in range(inputs):
            one, other = random.choice(self._pool), random.choice(self._pool)
            data = self.target.mutate(self._mutator, one, other)
            if self._run(data):
                self._keep(data)

    def _run(self, data: bytes) -> bool:
        """Run an input, and return whether it ended in a way that was not seen before."""
        tally = self.tally
        begin = time.perf_counter()
        try:
            with bounded_time():
                outcome = self.target.run(data)
        except MemoryError:
            raise
        except Exception as error:
            where = traceback.extract_tb(error.__traceback__)[-1]
            outcome = f"FAULT {type(error).__name__} {Path(where.filename).name}:{where.lineno}"
            tally.faults.setdefault(outcome, data)
        seconds = time.perf_counter() - begin
        tally.inputs += 1
        tally.seconds += seconds
        tally.slowest_seconds = max(tally.slowest_seconds, seconds)
        tally.outcomes[outcome] += 1
        return tally.outcomes[outcome] == 1

    def _keep(self, data: bytes) -> None:
        if len(self._pool) < self._true + _MOST_KEPT:
            self._pool.append(data)
        else:
            self._pool[self._mutator.random.randrange(self._true, len(self._pool))] = data


def run_all(targets: Sequence[Target], inputs: int, seed: int) -> Iterator[Fuzzing]:
    """Run so many inputs, shared out among targets, and give each target when it is done."""
    shares = sum(target.share for target in targets)
    for target in targets:
        fuzzing = Fuzzing(target, seed)
        fuzzing.run_seeds()
        left = inputs * target.share // shares
        while left > 0:
            fuzzing.run(min(_ROUND, left))
            left -= _ROUND
        yield fuzzing


def main() -> None:
    """Run the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--target", action="append", choices=[one.name for one in TARGETS])
    parser.add_argument("--faults", type=Path, default=Path("fuzz-faults"))
    parser.add_argument("--outcomes", action="store_true", help="list all ways to end")
    asked = parser.parse_args()
    targets = [one for one in TARGETS if not asked.target or one.name in asked.target]
    total, faults = 0, 0
    for fuzzing in run_all(targets, asked.inputs, asked.seed):
        tally = fuzzing.tally
        total += tally.inputs
        faults += len(tally.faults)
        print(_line(fuzzing), flush=True)
        if asked.outcomes:
            for outcome, count in tally.outcomes.most_common():
                print(f"    {count:>9,}  {outcome}")
        for outcome, data in tally.faults.items():
            asked.faults.mkdir(exist_ok=True)
            name = f"{fuzzing.target.name}-{blake2b(data, digest_size=6).hexdigest()}"
            (asked.faults / name).write_bytes(data)
            print(f"    {outcome}: {asked.faults / name}", flush=True)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"{total:,} inputs, {faults} faults, at most {peak} MiB")


def _line(fuzzing: Fuzzing) -> str:
    tally = fuzzing.tally
    return (
        f"{fuzzing.target.name:10} {tally.inputs:>9,} inputs in {tally.seconds:8,.1f} s, slowest "
        f"{1000 * tally.slowest_seconds:6.0f} ms, {len(tally.outcomes):,} ways to end, "
        f"{len(tally.faults)} faults"
    )


if __name__ == "__main__":
    main()
