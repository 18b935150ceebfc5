"""CSV tables: rows of safe cells."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

#: Rows that are turned to text at a time.
_ROWS_AT_A_TIME: Final = 4096


def iter_csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Yield a CSV table (RFC 4180 with line feeds) in pieces.

    Parameters
    ----------
    header
        Names of the columns.
    rows
        Cells, already safe; none gives the header alone.
    """
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(header)
    for number, row in enumerate(rows, 1):
        writer.writerow(row)
        if number % _ROWS_AT_A_TIME == 0:
            yield buffer.getvalue()
            buffer.seek(0)
            buffer.truncate()
    yield buffer.getvalue()
