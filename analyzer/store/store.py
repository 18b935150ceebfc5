"""A store: what earlier runs left about one thing, by name, and what this run leaves."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
import time
from collections.abc import Iterator, Set
from pathlib import Path
from types import TracebackType
from typing import BinaryIO, Final

from analyzer.store.folder import begun_affixes, drop_old, make_folder, store_path
from analyzer.store.packed import (
    MOST_INDEX_BYTES,
    DamagedError,
    Piece,
    digest_of,
    head_and_index,
    read_index,
    read_piece,
)

#: Largest store, in bytes; what would go beyond is not kept.
MOST_STORE_BYTES: Final = 1024**3

# Pieces are asked for in about the order in which they lie: several come with one reading.
_BUFFER_BYTES: Final = 64 * 1024
# No link is followed, and a pipe in the place of a store is not waited for.
_FLAGS: Final = os.O_RDONLY | sum(
    getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY")
)
# Whoever may write a store may make a report say anything.
_OTHERS_WRITE: Final = stat.S_IWGRP | stat.S_IWOTH


class Store:
    """Pieces of bytes by name, each with a mark that says what it was made of.

    Nothing is written before `write`. A store that is missing, damaged or somebody else's is
    empty. Use it as a context manager, or `close` it.

    Parameters
    ----------
    folder
        Where stores lie.
    identity
        32 bytes that say what the store is for; another identity is another store.

    Attributes
    ----------
    damaged
        Whether the file, or a piece that was asked for, was not what had been written.
    """

    def __init__(self, folder: Path, identity: bytes) -> None:
        self._path = store_path(folder, identity)
        self._identity = identity
        self._file: BinaryIO | None = None
        self._kept: dict[str, Piece] = {}
        self._fresh: dict[str, tuple[bytes, bytes]] = {}
        self._changed = False
        self.damaged = False
        with contextlib.suppress(OSError):
            self._open()

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def find(self, name: str, mark: bytes) -> bytes | None:
        """Return the piece of a name; None where there is none, or one with another mark."""
        piece = self._kept.get(name)
        return None if piece is None or piece.mark != mark else self.find_former(name)

    def find_former(self, name: str) -> bytes | None:
        """Return the piece of a name, whatever its mark; None where there is none."""
        piece = self._kept.get(name)
        if piece is None or self._file is None:
            return None
        try:
            return read_piece(self._file, piece)
        except (DamagedError, OSError):
            self.reject(name)
            return None

    def reject(self, name: str) -> None:
        """Drop a piece that makes no sense to whoever asked for it."""
        del self._kept[name]
        self.damaged = self._changed = True

    def put(self, name: str, mark: bytes, data: bytes) -> None:
        """Keep a piece, in place of any of that name."""
        self._fresh[name] = (mark, data)
        self._changed = True

    def keep_only(self, names: Set[str]) -> None:
        """Drop all pieces but those of some names."""
        for name in self._kept.keys() - names:
            del self._kept[name]
            self._changed = True

    def write(self) -> None:
        """Write the store if it has changed, and keep its folder small.

        The file is there whole, old or new, at every moment; of two runs that write at once the
        later one's file stays.

        Raises
        ------
        OSError
            Where it cannot be written.
        """
        if not self._changed:
            # Says that it was used.
            with contextlib.suppress(OSError):
                os.utime(self._path)
            return
        make_folder(self._path.parent)
        prefix, suffix = begun_affixes(self._path)
        number, name = tempfile.mkstemp(suffix, prefix, self._path.parent)
        try:
            with os.fdopen(number, "wb") as file:
                file.writelines(self._content())
            # Some systems replace no file that is open.
            self.close()
            Path(name).replace(self._path)
        finally:
            Path(name).unlink(missing_ok=True)
        with contextlib.suppress(OSError):
            drop_old(self._path.parent, keep=self._path, now_seconds=time.time())

    def _open(self) -> None:
        file = os.fdopen(os.open(self._path, _FLAGS), "rb", _BUFFER_BYTES)
        try:
            result = os.fstat(file.fileno())
            if not _is_ours(result) or result.st_size > MOST_STORE_BYTES:
                raise DamagedError("foreign")
            self._kept = read_index(file, result.st_size, self._identity)
            self._file = file
        except DamagedError:
            self.damaged = self._changed = True
        finally:
            if self._file is None:
                file.close()

    def _content(self) -> Iterator[bytes]:
        rows = self._fitting_rows()
        yield head_and_index(self._identity, rows)
        for name, piece in rows:
            if name in self._fresh:
                yield self._fresh[name][1]
            else:
                assert self._file is not None
                self._file.seek(piece.offset)
                # Copied as it is: its digest tells of damage when it is asked for.
                yield self._file.read(piece.size).ljust(piece.size, b"\0")

    def _fitting_rows(self) -> list[tuple[str, Piece]]:
        pieces = self._kept | {
            name: Piece(mark, 0, len(data), digest_of(data))
            for name, (mark, data) in self._fresh.items()
        }
        room = MOST_STORE_BYTES - MOST_INDEX_BYTES
        rows = []
        for name in sorted(pieces):
            piece = pieces[name]
            if piece.size <= room:
                room -= piece.size
                rows.append((name, piece))
        return rows


def _is_ours(result: os.stat_result) -> bool:
    if not stat.S_ISREG(result.st_mode):
        return False
    if not hasattr(os, "geteuid"):
        return True
    return result.st_uid == os.geteuid() and not result.st_mode & _OTHERS_WRITE
