"""Running the command line in this process."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from unittest import mock

from analyzer.cli.main import run


@dataclass(frozen=True)
class Done:
    """What a command printed and how it ended."""

    status: int
    out: str
    err: str


def lineshaft(*arguments: object, terminal: bool = False, encoding: str = "ascii") -> Done:
    """Run ``lineshaft`` with standard streams of some encoding, on a terminal or not."""
    with _stream(terminal, encoding) as out, _stream(terminal, encoding) as err:
        with mock.patch.object(sys, "stdout", out), mock.patch.object(sys, "stderr", err):
            status = run([str(argument) for argument in arguments])
        return Done(status, _text(out), _text(err))


class _Terminal(io.TextIOWrapper):
    def isatty(self) -> bool:
        return True


@contextmanager
def _stream(terminal: bool, encoding: str) -> Iterator[io.TextIOWrapper]:
    kind = _Terminal if terminal else io.TextIOWrapper
    with kind(io.BytesIO(), encoding=encoding) as stream:
        yield stream


def _text(stream: io.TextIOWrapper) -> str:
    stream.flush()
    assert isinstance(stream.buffer, io.BytesIO)
    return stream.buffer.getvalue().decode(stream.encoding)
