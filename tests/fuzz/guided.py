"""Lets coverage lead: ``python -m tests.fuzz.guided tree -runs=100000 -max_total_time=600``.

Needs atheris (https://pypi.org/project/atheris/), which counts the branches of our code that an
input takes; inputs that take a new one are mutated further, half the time as the seeded run does
it. Whatever follows the target's name goes to libFuzzer, which names all that it understands with
``-help=1``. It stops at the first fault and writes the input that shows it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path


def main() -> None:
    """Run the command line."""
    try:
        import atheris
    except ImportError:
        sys.exit("This needs atheris: pip install atheris")
    with atheris.instrument_imports(include=["analyzer"]):
        from tests.fuzz.invariants import bounded_time
        from tests.fuzz.mutate import Mutator
        from tests.fuzz.targets import TARGETS, target_of
    names = [target.name for target in TARGETS]
    if len(sys.argv) < 2 or sys.argv[1] not in names:
        sys.exit(f"{__doc__}\nTargets: {', '.join(names)}")
    target = target_of(sys.argv[1])
    seeds = target.seeds()

    def run(data: bytes) -> None:
        with bounded_time():
            target.run(data)

    def mutate(data: bytes, most: int, seed: int) -> bytes:
        mutator = Mutator(seed)
        if mutator.random.random() < 0.5:
            return bytes(atheris.Mutate(data, most))
        return target.mutate(mutator, data, mutator.random.choice(seeds))[:most]

    with tempfile.TemporaryDirectory(prefix="lineshaft-corpus-") as folder:
        for number, data in enumerate(seeds):
            (Path(folder) / str(number)).write_bytes(data)
        longest = 2 * max(map(len, seeds))
        options = [f"-max_len={longest}", "-rss_limit_mb=1024", *sys.argv[2:]]
        atheris.Setup([sys.argv[0], *options, folder], run, custom_mutator=mutate)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
