"""What a save tells whoever gets it."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from concurrent.futures import Executor
from functools import partial
from typing import Final

from analyzer.base.block import namespace_of
from analyzer.base.limits import Limits
from analyzer.save.disclosure.disclose_source import disclose_source
from analyzer.save.disclosure.disclose_tree import addresses_in, has_owner, read_tree
from analyzer.save.disclosure.disclosed import Disclosed, DisclosedSoFar
from analyzer.save.disclosure.disclosure import (
    Disclosure,
    Need,
    Personal,
    PersonalFile,
    address_order,
)
from analyzer.save.disclosure.look_around import Around, StoredTree, look_around
from analyzer.save.files.chosen_dimensions import choose_dimensions
from analyzer.save.files.fault import Fault, fault_order
from analyzer.save.files.opening import why
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.walker import TruncatedError, WalkError
from analyzer.save.reading.call import calls_of
from analyzer.save.reading.looked import not_looked_at
from analyzer.save.reading.progress import OnProgress
from analyzer.save.reading.read_each import read_each
from analyzer.save.scan.merge import merge_coverage

#: Most addresses of one save that are remembered.
MOST_ADDRESSES: Final = 10_000
# Maps of a world can be many thousands; each takes some tenths of a millisecond.
_MOST_TREES: Final = 20_000


def disclose_save(
    files: SaveFiles,
    *,
    dimensions: tuple[str, ...] = (),
    limits: Limits = Limits(),  # noqa: B008 - a frozen value
    executor: Executor | None = None,
    progress: OnProgress | None = None,
) -> Disclosure:
    """Look through a save for what it tells; every chunk is read whole, and nothing is changed.

    Parameters
    ----------
    files, dimensions, limits, executor, progress
        As for `scan_save`; files of the save as a whole are looked at whatever the dimensions.

    Returns
    -------
    Disclosure
        Of an empty save: one that tells nothing.

    Raises
    ------
    UsageError
        For a dimension that the save does not have.
    """
    files = choose_dimensions(files, dimensions)
    found = read_each(
        calls_of(
            partial(disclose_source, limits=limits),
            files.sources,
            unread=lambda source: DisclosedSoFar("", "").disclosed(not_looked_at(source)),
        ),
        chunks_of=lambda disclosed: disclosed.looked.chunks,
        executor=executor,
        progress=progress,
    )
    around = Around() if files.locks is None else _look_around(files)
    beside = [_disclose_tree(tree, around, limits) for tree in around.trees[:_MOST_TREES]]
    addresses = {one for disclosed in found for one in disclosed.addresses}
    addresses.update(one for disclosed in beside for one in disclosed.addresses)
    every = sorted(addresses, key=address_order)
    more = sum(one.more_addresses for one in found) + sum(one.more_addresses for one in beside)
    return Disclosure(
        needs=_needs(found),
        more_names=sum(disclosed.more_names for disclosed in found),
        personal=tuple(sorted(around.personal)),
        addresses=tuple(every[:MOST_ADDRESSES]),
        more_addresses=more + len(every[MOST_ADDRESSES:]),
        looked_around=files.locks is not None,
        more_files=around.more_files or len(around.trees) > _MOST_TREES,
        coverage=merge_coverage([one.looked for one in found], files.dimensions, files.faults),
        faults=_other_faults(around, files),
    )


def _look_around(files: SaveFiles) -> Around:
    return look_around(files.root, sorted({lock.parent for lock in files.locks or ()}))


def _disclose_tree(tree: StoredTree, around: Around, limits: Limits) -> DisclosedSoFar:
    """Look through one file; what is wrong with it, or speaks of people, is noted beside it."""
    so_far = DisclosedSoFar("", tree.file)

    def fault(reason: str, detail: str) -> None:
        around.faults.append(Fault("", tree.file, None, reason, detail))

    try:
        data = read_tree(tree, limits)
        if data is not None:
            if has_owner(tree.file, data, limits):
                around.personal.append(PersonalFile(Personal.OWNER, tree.file))
            so_far.add_addresses(None, addresses_in(data, limits))
    except DamageError as damage:
        fault(damage.reason, damage.detail)
    except TruncatedError as error:
        fault("cut-short", f"the file ends after {error.offset:,} inflated bytes")
    except WalkError as error:
        fault("bad-nbt", f"{error} of the inflated file")
    except OSError as error:
        fault("cannot-open", f"the file cannot be read: {why(error)}")
    return so_far


def _needs(found: Sequence[Disclosed]) -> tuple[Need, ...]:
    blocks: Counter[str] = Counter()
    entities: Counter[str] = Counter()
    for disclosed in found:
        blocks.update(disclosed.blocks)
        entities.update(disclosed.entities)
    by_namespace: dict[str, tuple[list[tuple[str, int]], list[tuple[str, int]]]]
    by_namespace = defaultdict(lambda: ([], []))
    for kind, counts in enumerate((blocks, entities)):
        for name, count in sorted(counts.items()):
            by_namespace[namespace_of(name)][kind].append((name, count))
    return tuple(
        Need(namespace, tuple(blocks_of), tuple(entities_of))
        for namespace, (blocks_of, entities_of) in sorted(by_namespace.items())
    )


def _other_faults(around: Around, files: SaveFiles) -> tuple[Fault, ...]:
    # What is wrong with level.dat was told when the save was located.
    told = {fault.file for fault in files.faults}
    others = (fault for fault in around.faults if fault.file not in told)
    return tuple(sorted(others, key=fault_order))
