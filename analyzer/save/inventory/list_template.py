"""The inventory of one structure template: every block entity, as one record."""

from __future__ import annotations

from analyzer.base.limits import Limits
from analyzer.base.place import Block
from analyzer.save.chunk.template import Template
from analyzer.save.files.save_files import TemplateFile
from analyzer.save.inventory.listing import Listing, ListingSoFar
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import Cursor
from analyzer.save.reading.open_template import look_at_template


def list_template(file: TemplateFile, limits: Limits) -> Listing:
    """List one template.

    All arguments and the result can be pickled, so that any executor can run it.
    """
    so_far = ListingSoFar()

    def take(template: Template) -> None:
        for row, entry in list(template.iter_entities()):
            if entry.id is not None:
                block = Block(*template.xyz[row].tolist())
                state = template.palette[template.state[row]]
                entity = Cursor(template.data, template.limits, entry.at)
                so_far.add(block, decode_text(entry.id), state, entity)

    return so_far.listing(look_at_template(file, limits, take))
