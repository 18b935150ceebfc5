"""What a solver prints by itself reaches no report."""

from __future__ import annotations

import subprocess
import sys

PROGRAM = """
import ctypes
import scipy.optimize
from analyzer.advice.quiet import quiet_milp

def talkative(*program, **options):
    ctypes.CDLL(None).puts(b"chatter")
    return "answer"

scipy.optimize.milp = talkative
print("before")
print(quiet_milp())
"""


def test_chatter_of_the_solver_is_dropped_and_the_report_is_kept() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["before", "answer"]
