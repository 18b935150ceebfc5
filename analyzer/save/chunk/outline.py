"""Where the things that matter stand in a chunk's tree, in both of its layouts.

Up to 21w42a (data version 2840) a chunk's content lies in a compound ``Level``; from 21w43a (2844)
on it lies at the root, under other names.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from analyzer.save.nbt.walker import BYTE, COMPOUND, LIST, LONG, STRING, Cursor

_AT_ROOT: Final = {
    b"xPos": "cx",
    b"zPos": "cz",
    b"Status": "status",
    b"block_entities": "entities_at",
    b"sections": "sections_at",
}
_IN_LEVEL: Final = {
    b"xPos": "cx",
    b"zPos": "cz",
    b"Status": "status",
    b"TileEntities": "entities_at",
    b"Sections": "sections_at",
}
_KINDS: Final = {
    "cx": range(BYTE, LONG + 1),
    "cz": range(BYTE, LONG + 1),
    "status": (STRING,),
    "entities_at": (LIST,),
    "sections_at": (LIST,),
}


@dataclass(slots=True)
class Outline:
    """What a walk over a chunk's tree noted; None where a value was not met.

    Parameters
    ----------
    wrapped
        Whether the content lies in ``Level``.
    data_version
        The format's version of this chunk.
    cx, cz
        The place that the chunk gives itself.
    status
        How far the generator got, in modified UTF-8.
    entities_at, sections_at
        Where the lists of block entities and of sections stand, in bytes.
    odd
        Stored name of one of the above that is there, but as something else than it should be.
    version_at
        Where the value of `data_version` stands, in bytes.
    cx_at, cz_at
        Where the values of `cx` and `cz` stand, and their tags.
    """

    wrapped: bool = False
    data_version: int | None = None
    cx: int | None = None
    cz: int | None = None
    status: bytes | None = None
    entities_at: int | None = None
    sections_at: int | None = None
    odd: str | None = None
    version_at: int | None = None
    cx_at: tuple[int, int] | None = None
    cz_at: tuple[int, int] | None = None


def read_outline(
    cursor: Cursor, *, up_to_entities: bool, pass_sections: Callable[[Cursor], None] | None = None
) -> Outline:
    """Walk a chunk's tree from its root and note where things stand.

    Parameters
    ----------
    cursor
        Stands on the root.
    up_to_entities
        Stop as soon as the list of block entities is met; the cursor then stands on it. Stop at
        ``Level`` too, without a list, where the version that says how to judge it has not come yet.
        Otherwise the tree is walked whole.
    pass_sections
        Called where the cursor stands on a list of sections, to pass over it in its own way.

    Raises
    ------
    TruncatedError, MalformedError
        As `Cursor.compound`.
    """
    outline = Outline()
    for name, tag in cursor.root():
        if name == b"Level" and tag == COMPOUND and outline.sections_at is None:
            outline.wrapped = True
            if up_to_entities and outline.data_version is None:
                return outline
            for inner_name, inner_tag in cursor.compound():
                _note(outline, cursor, _IN_LEVEL, inner_name, inner_tag)
                if pass_sections is not None and outline.sections_at == cursor.at:
                    pass_sections(cursor)
                if up_to_entities and outline.entities_at == cursor.at:
                    return outline
        elif name == b"DataVersion" and BYTE <= tag <= LONG:
            outline.version_at = cursor.at
            outline.data_version = int(cursor.number(tag))
        elif not outline.wrapped:
            _note(outline, cursor, _AT_ROOT, name, tag)
            if pass_sections is not None and outline.sections_at == cursor.at:
                pass_sections(cursor)
            if up_to_entities and outline.entities_at == cursor.at:
                return outline
    return outline


def _note(
    outline: Outline, cursor: Cursor, known: Mapping[bytes, str], name: bytes, tag: int
) -> None:
    field = known.get(name)
    if field is None:
        return
    if tag not in _KINDS[field]:
        outline.odd = name.decode()
    elif tag == LIST:
        setattr(outline, field, cursor.at)
    elif tag == STRING:
        outline.status = cursor.raw_text()
    else:
        setattr(outline, f"{field}_at", (cursor.at, tag))
        setattr(outline, field, cursor.number(tag))
