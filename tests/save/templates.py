"""Structure templates written by plain means, well-formed or not."""

from __future__ import annotations

import gzip
from collections.abc import Mapping, Sequence
from pathlib import Path

from analyzer.save.files.save_files import TemplateFile
from tests.save.chunks import ROOT_VERSION, palette_entry
from tests.save.nbt_bytes import Tag, compound, compound_of, integer, list_of, text, tree


def block(x: int, y: int, z: int, state: int = 0, nbt: Tag | None = None) -> Tag:
    values = {"pos": list_of(integer(x), integer(y), integer(z)), "state": integer(state)}
    return compound_of(values if nbt is None else {**values, "nbt": nbt})


def data(name: str, **more: Tag) -> Tag:
    return compound(id=text(name), **more)


def palette(*states: str) -> Tag:
    return list_of(*map(palette_entry, states))


def template_tree(
    blocks: Sequence[Tag],
    states: Sequence[str] = ("quayworks:shaft[axis=x]",),
    *,
    changes: Mapping[str, Tag | None] | None = None,
) -> bytes:
    """Return a template's tree; `changes` replaces values at its root, or takes them away."""
    values: dict[str, Tag | None] = {
        "size": list_of(integer(9), integer(9), integer(9)),
        "entities": list_of(),
        "blocks": list_of(*blocks),
        "palette": palette(*states),
        "DataVersion": integer(ROOT_VERSION),
        **(changes or {}),
    }
    return tree(compound_of({name: tag for name, tag in values.items() if tag is not None}))


def template_file(
    folder: Path, content: bytes, *, packed: bool = True, name: str = "crane"
) -> TemplateFile:
    """Write a template, and return what `locate_save` would say of it."""
    path = folder / f"{name}.nbt"
    path.write_bytes(gzip.compress(content, mtime=0) if packed else content)
    return TemplateFile(f"template:{name}", f"{name}.nbt", path, folder)
