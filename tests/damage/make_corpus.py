"""Writes the damage corpus: ``python -m tests.damage.make_corpus FOLDER``.

Each folder in it is a region folder with one fault, and is named for it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from tests.damage.bombs import iter_bombs
from tests.damage.damage import CATALOGUE, Damage
from tests.damage.files_and_slots import iter_files_and_slots
from tests.damage.sections import iter_sections
from tests.damage.streams import iter_streams
from tests.damage.trees import iter_trees


def iter_corpus() -> Iterator[Damage]:
    """Iterate over all that is wrong in a small file; `iter_bombs` has what is large inside."""
    yield from iter_files_and_slots()
    yield from iter_streams()
    yield from iter_trees()
    yield from iter_sections()


def write_corpus(folder: Path) -> int:
    """Write the corpus with its catalogue, and return of how many faults it is."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "slipway.toml").write_text(CATALOGUE, "utf-8")
    return sum(1 for damage in (*iter_corpus(), *iter_bombs()) if damage.write(folder))


if __name__ == "__main__":
    print(f"{write_corpus(Path(sys.argv[1]))} faults")
