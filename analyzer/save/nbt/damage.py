"""Why a slot could not be read, on its way from where it was noticed to the slot's fault."""

from __future__ import annotations


class DamageError(Exception):
    """A slot that cannot be read; it ends as unreadable and never leaves the save package.

    Parameters
    ----------
    reason
        Short fixed name, such as ``bad-zlib-stream`` (docs/save-format.md lists them).
    detail
        One clause for people, without a path of this machine.
    offset
        Byte offset in the region file; None leaves it to the reader of the region.
    """

    def __init__(self, reason: str, detail: str, offset: int | None = None) -> None:
        super().__init__(f"{reason}: {detail}")
        self.reason = reason
        self.detail = detail
        self.offset = offset


def too_large(limit: int) -> DamageError:
    """Return the damage of a chunk that is larger than it may be."""
    return DamageError("too-large", f"it inflates to more than {limit:,} bytes")
