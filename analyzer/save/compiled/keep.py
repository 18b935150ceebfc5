"""Where the kernel's machine code is kept: beside the byte code of the package itself.

Whoever can write there can change the program anyway, so to run what lies there trusts nobody new.

Every process of a scan imports this and few need it: what takes long to import is imported there.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import Final, TypeAlias

#: By name of an entry: its symbol, and the object file that has it.
Code: TypeAlias = dict[str, tuple[str, bytes]]

_HERE: Final = Path(__file__).parent
_FOLDER: Final = _HERE / "__pycache__"
_SOURCES: Final = ("octets.py", "kernel.py", "chart.py", "build.py", "image.py", "objects.py")
_DIGEST_LETTERS: Final = 16


def kept_path(processor: str, kind: str) -> Path:
    """Return where code is kept.

    Parameters
    ----------
    processor
        Whatever tells processors apart that do not run the same code, and compilers.
    kind
        How it is stored: the end of the file's name.
    """
    from hashlib import sha256

    version = sha256()
    for name in _SOURCES:
        version.update((_HERE / name).read_bytes())
    made_for = sha256(processor.encode()).hexdigest()[:_DIGEST_LETTERS]
    return _FOLDER / f"kernel-{made_for}-{version.hexdigest()[:_DIGEST_LETTERS]}.{kind}"


def has_code(kind: str) -> bool:
    """Return whether machine code is kept, for whatever processor."""
    return any(_FOLDER.glob(f"kernel-*.{kind}"))


def read_kept(file: int) -> tuple[bytes, int] | None:
    """Return what an open file keeps, and where it begins; None if that is not whole.

    Raises
    ------
    OSError
        Where it cannot be read.
    """
    from hashlib import sha256

    with os.fdopen(file, "rb", closefd=False) as opened:
        digest, _, rest = opened.read().partition(b"\n")
    return (rest, len(digest) + 1) if digest == sha256(rest).hexdigest().encode() else None


def keep(path: Path, data: bytes) -> Path:
    """Keep code, with a digest of it before it; return the file.

    Raises
    ------
    OSError
        Where that cannot be done.
    """
    import tempfile
    from hashlib import sha256

    path.parent.mkdir(exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(sha256(data).hexdigest().encode() + b"\n" + data)
        # Whoever installed it, others run it; a temporary file is for its owner alone.
        Path(name).chmod(0o644)
        Path(name).replace(path)
        # Of other versions, for the same processor.
        for other in set(_FOLDER.glob(f"{path.name.rpartition('-')[0]}-*")) - {path}:
            other.unlink(missing_ok=True)
    except OSError:
        with suppress(OSError):
            Path(name).unlink()
        raise
    return path
