"""Facts of a save as a whole."""

from __future__ import annotations

from collections.abc import Iterable

from analyzer.save.lock import find_open_elsewhere
from analyzer.save.region_slots import RegionSlots
from analyzer.save.save_files import SaveFiles
from analyzer.save.scan import SaveFacts


def gather_facts(files: SaveFiles, slots: Iterable[RegionSlots]) -> SaveFacts:
    """Return the facts of a save, after its regions were read."""
    versions = {version for region in slots for version in region.data_versions}
    return SaveFacts(
        title=files.title,
        data_versions=tuple(sorted(versions)),
        open_elsewhere=find_open_elsewhere(files.locks),
    )
