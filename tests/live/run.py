"""The live test for as long as one likes: ``python -m tests.live.run --seconds 600``."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from tests.live.watch import How, watch


def main() -> None:
    """Scan while both kinds of writer write, and print what was seen."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60, help="for each kind of writer")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    kinds: tuple[How, ...] = ("server", "in-place")
    for how in kinds:
        with tempfile.TemporaryDirectory() as folder:
            print(how, watch(Path(folder), how, seconds=asked.seconds, seed=asked.seed))


if __name__ == "__main__":
    main()
