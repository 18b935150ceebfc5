"""What holds for every input, however false."""

from __future__ import annotations

import re
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import FrameType
from typing import Final

from analyzer.base.limits import Limits
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.fault import Fault
from analyzer.save.reading.looked import Looked, RegionSlots

#: Lower than usual, so that inputs reach them.
LIMITS: Final = Limits(
    inflated_bytes=256 * 1024, tags=60_000, template_bytes=1024 * 1024, template_blocks=5_000
)
#: Processor time in seconds for one input, all its runs together.
MOST_SECONDS: Final = 10.0

_PAGE: Final = Path(__file__).parents[2] / "docs" / "save-format.md"


class TooSlowError(Exception):
    """One input took more of the processor than any may."""


@cache
def reasons() -> frozenset[str]:
    """Return the reasons that docs/save-format.md explains."""
    section = _PAGE.read_text("utf-8").partition("### Reasons")[2].partition("\n## ")[0]
    rows = [line.split("|")[1] for line in section.splitlines() if line.startswith("| `")]
    return frozenset(name for row in rows for name in re.findall("`([a-z0-9-]+)`", row))


def known(reason: str) -> str:
    """Return a reason, which must be one of them."""
    assert reason in reasons(), reason
    return reason


def check_looked(looked: Looked, hidden: Path) -> str:
    """Hold what was looked at to what is promised of it, and return it in a few words."""
    for fault in looked.faults:
        check_fault(fault, hidden)
    if isinstance(looked, RegionSlots):
        return _check_slots(looked)
    assert (looked.fault is None) == bool(looked.data_versions)
    return "read" if looked.fault is None else looked.fault.reason


def check_fault(fault: Fault, hidden: Path) -> None:
    """Hold a fault to its form: a known reason, a line of text, no path of this machine."""
    known(fault.reason)
    assert fault.detail
    assert fault.detail.isprintable(), fault.detail
    assert str(hidden) not in fault.detail
    assert fault.offset is None or fault.offset >= 0


@contextmanager
def bounded_time() -> Iterator[None]:
    """Raise in the middle of what takes too long."""
    former = signal.signal(signal.SIGPROF, _stop)
    signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, former)


def _stop(_number: int, _frame: FrameType | None) -> None:
    raise TooSlowError(f"more than {MOST_SECONDS} s of the processor")


def _check_slots(looked: RegionSlots) -> str:
    status = looked.status
    assert len(status) == 1024
    assert not status.translate(None, bytes(SlotStatus))
    assert SlotStatus.UNSTABLE not in status, "nobody writes it"
    told = [fault.chunk for fault in looked.faults if fault.chunk is not None]
    assert len(told) == len(set(told)), "two faults of one chunk"
    slots = {(chunk.cx & 31) + 32 * (chunk.cz & 31) for chunk in told}
    unreadable = {slot for slot in range(1024) if status[slot] == SlotStatus.UNREADABLE}
    whole = any(fault.chunk is None and fault.reason != "short-header" for fault in looked.faults)
    assert whole or slots == unreadable, "a status without a reason, or a reason without one"
    assert all(fault.offset is not None for fault in looked.faults if fault.chunk is not None)
    assert list(looked.data_versions) == sorted(set(looked.data_versions))
    ended = sorted({SlotStatus(one).name.lower() for one in status} - {"absent"})
    return " ".join([*ended, *sorted({fault.reason for fault in looked.faults})]) or "nothing"
