"""A save that is written while it is scanned: each chunk as it once was, or told as unstable."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.live.watch import How, watch

#: Seconds for each way of writing; `python -m tests.live.run` takes as many as it is told.
SECONDS = 4.0


@pytest.mark.skipif(not hasattr(os, "pwrite"), reason="this system has no pwrite")
@pytest.mark.parametrize("how", ["server", "in-place"])
def test_a_scan_of_a_save_that_is_being_written_mixes_nothing(tmp_path: Path, how: How) -> None:
    seen = watch(tmp_path, how, seconds=SECONDS, seed=20260714)
    assert seen.scans
    assert seen.changed
    # Nearly all chunks hold still for long enough.
    assert seen.unstable < seen.read / 10
