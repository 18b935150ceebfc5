"""The scan of one structure template: candidates and leftovers, as one record."""

from __future__ import annotations

import numpy as np

from analyzer.base.limits import Limits
from analyzer.base.place import Block
from analyzer.save.chunk.entries import Entry
from analyzer.save.chunk.template import Template
from analyzer.save.files.save_files import TemplateFile
from analyzer.save.reading.open_template import look_at_template
from analyzer.save.scan.gather import Gathering
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.wanted import Wanted


def scan_template(file: TemplateFile, wanted: Wanted, limits: Limits) -> ScanRecord:
    """Scan one template; whatever is wrong with it ends up in the record.

    All arguments and the result can be pickled, so that any executor can run it.
    """
    gathering = Gathering(wanted, limits)
    return gathering.record(look_at_template(file, limits, _TemplateScan(gathering).take))


class _TemplateScan:
    def __init__(self, gathering: Gathering) -> None:
        self._gathering = gathering
        self._wanted = gathering.wanted

    def take(self, template: Template) -> None:
        # Parsing the entities is the last thing that may find damage, so it comes first.
        entities = dict(template.iter_entities())
        kept = self._sort(template, entities)
        gathering, wanted = self._gathering, self._wanted
        by_name = np.array([s.name in wanted.blocks for s in template.palette], bool)
        rows = template.stands & by_name[template.state]
        rows[list(kept)] = True
        for row in np.flatnonzero(rows).tolist():
            block = Block(*template.xyz[row].tolist())
            state = template.palette[template.state[row]]
            version = template.data_version
            gathering.keep(block, state, version, template.data, kept.get(row))
        without = template.stands.copy()
        without[[row for row, entry in entities.items() if entry.id is not None]] = False
        for number, state in enumerate(template.palette):
            if state.name in wanted.entity_blocks:
                gathering.keep_bare(state, template.xyz[without & (template.state == number)])
        gathering.keep_strangers(gathering.asked.strangers_in(template.palette))

    def _sort(self, template: Template, entities: dict[int, Entry]) -> dict[int, Entry]:
        """Tell the entities to keep, by row, from those left over."""
        tally, ids = self._gathering.tally, self._gathering.ids
        kept = {}
        for row, entry in entities.items():
            if entry.id is None:
                tally.malformed += 1
            elif entry.id not in ids:
                tally.unknown[entry.id] += 1
            elif not template.stands[row]:
                tally.duplicate += 1
            else:
                kept[row] = entry
        return kept
