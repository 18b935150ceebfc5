"""The demo save and its audit, made once a run for tests that only read them."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path

from analyzer.demo.build import build_demo
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save


@cache
def demo_save() -> Path:
    """Return the folder of a demo save; not to be written to."""
    folder = Path(tempfile.mkdtemp(prefix="lineshaft-test-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    build_demo(folder / "quayworks")
    return folder / "quayworks"


@cache
def demo_audit() -> Audit:
    """Return the audit of the demo save."""
    return audit_save(demo_save(), catalogues=["quayworks"])
