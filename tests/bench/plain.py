"""Run a command as if the extra `compiled` were not installed.

``python -m tests.bench.plain audit SAVE ...``
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from analyzer.cli.main import main
from analyzer.save.compiled import load

if __name__ == "__main__":
    # Processes that are copies of this one know of no way either, ...
    load._WAYS = ()
    with TemporaryDirectory() as folder:
        for name in ("llvmlite", "numba"):
            Path(folder, f"{name}.py").write_text("raise ImportError('hidden')\n", "utf-8")
        # ... and those started afresh look for modules where this one does.
        sys.path.insert(0, folder)
        main()
