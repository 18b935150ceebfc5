"""One reading, as any executor can run it: what fails in the reading is told from what fails in
the executor.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, Generic, Protocol, TypeVar


class HasFile(Protocol):
    """What one call reads."""

    @property
    def file(self) -> str:
        """Its path relative to the save."""


Record = TypeVar("Record")
Item = TypeVar("Item", bound=HasFile)


@dataclass(frozen=True)
class Raised:
    """What a call raised where it was run, as the text of its traceback."""

    traceback: str


@dataclass(frozen=True)
class Call(Generic[Record]):
    """The reading of one region file or template.

    Parameters
    ----------
    function
        Reads the item.
    told
        Does so for an executor, and returns what is raised. Calls of one kind have the same
        object, so that it need not be sent again with each.
    item
        What is read.
    unread
        What to say of an item whose reading twice ended the process that ran it.
    """

    function: Callable[[Any], Record]
    told: Callable[[Any], Record | Raised]
    item: HasFile
    unread: Callable[[Any], Record]


def calls_of(
    function: Callable[[Item], Record],
    items: Iterable[Item],
    *,
    unread: Callable[[Item], Record],
) -> list[Call[Record]]:
    """Return the calls of one function on some items; without any item none.

    Parameters
    ----------
    function
        Must be picklable where an executor has processes.
    items
        What is to be read.
    unread
        What to say of an item whose reading twice ended the process that ran it.
    """
    told = partial(_told, function)
    return [Call(function, told, item, unread) for item in items]


def _told(function: Callable[[Item], Record], item: Item) -> Record | Raised:
    try:
        return function(item)
    except MemoryError:
        # No fault of the program: another process, or this one later, may have more.
        raise
    except Exception:
        import traceback

        return Raised(traceback.format_exc())
