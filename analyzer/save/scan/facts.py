"""Facts of a save as a whole."""

from __future__ import annotations

from collections.abc import Sequence

from analyzer.save.files.lock import find_open_elsewhere
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.reading.looked import Looked, TemplateLook
from analyzer.save.scan.scan import SaveFacts


def gather_facts(files: SaveFiles, looked: Sequence[Looked]) -> SaveFacts:
    """Return the facts of a save, after it was read."""
    versions = {version for look in looked for version in look.data_versions}
    several = {
        look.dimension
        for look in looked
        if isinstance(look, TemplateLook) and look.several_palettes
    }
    return SaveFacts(
        title=files.title,
        data_versions=tuple(sorted(versions)),
        open_elsewhere=_open_elsewhere(files),
        passed_over=files.passed_over,
        several_palettes=tuple(sorted(several)),
    )


def _open_elsewhere(files: SaveFiles) -> bool | None:
    """Return whether another program held the save open, before it was read or behind that."""
    now = find_open_elsewhere(files.locks, tells=files.locks_tell)
    before = now if files.watch is None else files.watch.open_elsewhere
    if now or before:
        return True
    return None if now is None else before
