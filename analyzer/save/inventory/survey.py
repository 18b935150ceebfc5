"""The inventory of a save: every block entity, whether anything knows it or not."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from concurrent.futures import Executor
from functools import partial

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.save.files.chosen_dimensions import choose_dimensions
from analyzer.save.files.save_files import SaveFiles, Source, TemplateFile
from analyzer.save.files.watch import written_meanwhile
from analyzer.save.inventory.fields import FieldTally
from analyzer.save.inventory.inventory import EntityRow, Inventory
from analyzer.save.inventory.list_region import list_region
from analyzer.save.inventory.list_template import list_template
from analyzer.save.inventory.listing import Listing, ListingSoFar
from analyzer.save.reading.call import calls_of
from analyzer.save.reading.looked import not_looked_at
from analyzer.save.reading.progress import OnProgress
from analyzer.save.reading.read_each import read_each
from analyzer.save.scan.facts import gather_facts
from analyzer.save.scan.merge import merge_coverage


def take_inventory(
    files: SaveFiles,
    *,
    dimensions: tuple[str, ...] = (),
    limits: Limits = Limits(),  # noqa: B008 - a frozen value
    executor: Executor | None = None,
    progress: OnProgress | None = None,
) -> Inventory:
    """List every block entity of a save; every chunk is read whole.

    Parameters
    ----------
    files, dimensions, limits, executor, progress
        As for `scan_save`.

    Returns
    -------
    Inventory
        Of an empty save: no rows and no regions.

    Raises
    ------
    UsageError
        For a dimension that the save does not have.
    """
    files = choose_dimensions(files, dimensions)
    listings = read_each(
        calls_of(
            partial(_list_source, limits=limits),
            files.sources,
            unread=lambda source: ListingSoFar().listing(not_looked_at(source)),
        ),
        chunks_of=lambda listing: listing.looked.chunks,
        executor=executor,
        progress=progress,
    )
    fields = FieldTally()
    older: Counter[str] = Counter()
    for listing in listings:
        fields.add_tally(listing.fields)
        older.update(listing.older)
    states = tuple(sorted({state for listing in listings for state in listing.states}))
    looked = [listing.looked for listing in listings]
    return Inventory(
        dimensions=files.dimensions,
        rows=_merge_rows(listings, files.dimensions, states),
        states=states,
        fields=fields.ranges(),
        older=tuple(sorted(older.items())),
        coverage=merge_coverage(looked, files.dimensions, files.faults, written_meanwhile(files)),
        facts=gather_facts(files, looked),
    )


def _list_source(source: Source, limits: Limits) -> Listing:
    if isinstance(source, TemplateFile):
        return list_template(source, limits)
    return list_region(source, limits)


def _merge_rows(
    listings: Sequence[Listing],
    dimensions: Sequence[str],
    states: Sequence[BlockState],
) -> tuple[EntityRow, ...]:
    number_of = {state: number for number, state in enumerate(states)}
    rows: list[EntityRow] = []
    for listing in listings:
        dimension = dimensions.index(listing.looked.dimension)
        # The last one stands for -1, no known state.
        numbers = [*(number_of[state] for state in listing.states), -1]
        rows.extend(
            EntityRow(dimension, block, listing.ids[name], numbers[state])
            for block, name, state in listing.rows
        )
    return tuple(sorted(rows))
