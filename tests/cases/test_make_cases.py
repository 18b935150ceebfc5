from __future__ import annotations

import gzip
from pathlib import Path

from tests.cases.make_cases import FIXTURES, make_cases


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file's bytes; of a gzip file, what is inside."""
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            data = path.read_bytes()
            name = path.relative_to(folder).as_posix()
            found[name] = gzip.decompress(data) if path.name == "level.dat" else data
    return found


def test_the_fixtures_are_what_the_script_makes(tmp_path):
    make_cases(tmp_path)
    assert contents(FIXTURES) == contents(tmp_path)


def test_a_case_stays_small():
    assert max(map(len, contents(FIXTURES).values())) <= 20 * 1024
