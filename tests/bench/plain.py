"""Run a command as if the extra `compiled` were not installed.

``python -m tests.bench.plain audit SAVE ...``
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from analyzer.cli.main import main

if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        for name in ("llvmlite", "numba"):
            Path(folder, f"{name}.py").write_text("raise ImportError('hidden')\n", "utf-8")
        # The processes that read regions look for modules where this one does.
        sys.path.insert(0, folder)
        main()
