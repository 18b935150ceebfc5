"""Where a command reads region files: on an engine that was named, or on processes of its own."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from analyzer.cli.options import Reading

if TYPE_CHECKING:
    from concurrent.futures import Executor


@contextmanager
def executor_for(reading: Reading) -> Iterator[Executor | None]:
    """Give the executor that was named; None where none was.

    Raises
    ------
    UsageError
        Where it cannot be used.
    click.UsageError
        Where processes are asked for as well.
    """
    if reading.executor is None:
        yield None
        return
    if reading.jobs is not None:
        raise click.UsageError("--executor and --jobs exclude each other.")
    from analyzer.pipeline.engine import engine

    with engine(reading.executor) as executor:
        yield executor
