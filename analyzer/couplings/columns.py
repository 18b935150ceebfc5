"""Columns of a table of couplings, all replaced alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any, Final, TypeAlias, TypeVar

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import frozen
from analyzer.couplings.couplings import BrokenLinks, Couplings, Cuts, Governed

Table = TypeVar("Table", Couplings, Governed, Cuts, BrokenLinks)
#: Makes one column out of another.
Change: TypeAlias = Callable[[npt.NDArray[Any]], npt.NDArray[Any]]
#: The columns that hold rows of parts.
_ROWS: Final = frozenset({"a", "b", "part", "other"})


def change_columns(table: Table, change: Change, change_rows: Change | None = None) -> Table:
    """Return a table with every column changed; what is no column of its own stays.

    Parameters
    ----------
    table
        Couplings, or one of the tables that they hold.
    change
        Makes the new column out of an old one, which may have any type and shape (m, ...).
    change_rows
        The same for columns that hold rows of parts; None: they are changed like the others.

    >>> import numpy as np
    >>> links = BrokenLinks(np.array([4]), np.array([[0, 64, 0]]), np.array([1]))
    >>> twice = change_columns(links, lambda column: np.repeat(column, 2, axis=0))
    >>> twice.part.tolist(), twice.towards.tolist()
    ([4, 4], [[0, 64, 0], [0, 64, 0]])
    """
    columns = {field.name: getattr(table, field.name) for field in fields(table)}
    changed: dict[str, Any] = {
        name: frozen((change_rows or change if name in _ROWS else change)(column))
        for name, column in columns.items()
        if isinstance(column, np.ndarray)
    }
    return replace(table, **changed)
