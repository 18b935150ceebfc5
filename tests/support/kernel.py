"""The compiled kernel for tests, and what it is held against."""

from __future__ import annotations

from functools import cache

import pytest

from analyzer.save.compiled import load
from analyzer.save.compiled.load import Kernel


@cache
def compiled_kernel() -> Kernel:
    """Return the kernel as machine code; nothing is kept of it. Skips where it cannot be made."""
    pytest.importorskip("numba", reason="needs numba, of the extra `compiled`")
    from analyzer.save.compiled.build import make_code

    return load.load_code(make_code())
