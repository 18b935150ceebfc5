"""Which block names a scan asks palettes about."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import takewhile

from analyzer.base.block import HOST_NAMESPACE, BlockState, namespace_of
from analyzer.save.nbt.modified_utf8 import encode_text
from analyzer.save.scan.wanted import Wanted


class AskedNames:
    """The names that a scan looks for in palettes.

    Parameters
    ----------
    wanted
        What the scan looks for.

    Attributes
    ----------
    mentions
        Of these byte strings at least one stands in any palette that matters, so that the others
        need not be parsed; None where every palette must be.
    marks
        Of these byte strings at least one stands in any chunk with a wanted block; None where every
        chunk may have one, empty where no block is wanted.
    """

    def __init__(self, wanted: Wanted) -> None:
        self._namespaces = wanted.namespaces
        self._known = wanted.known_blocks
        # Parts without a block entity are lost where a palette cannot be parsed, so none of the
        # palettes may be passed over; and a name may leave out the host game's namespace.
        every = bool(wanted.blocks) or HOST_NAMESPACE in wanted.namespaces
        self.mentions = None if every else _mentions(wanted)
        self.marks = _marks(wanted)

    def concern(self, data: bytes) -> bool:
        """Return whether the palettes in a chunk's tree have to be looked at."""
        return self.mentions is None or any(mention in data for mention in self.mentions)

    def strangers_in(self, palette: Iterable[BlockState]) -> set[str]:
        """Return the names in a palette that should be known and are not."""
        return {
            state.name
            for state in palette
            if state.namespace in self._namespaces and state.name not in self._known
        }


def _mentions(wanted: Wanted) -> tuple[bytes, ...]:
    heads = {f"{namespace}:" for namespace in wanted.namespaces}
    heads |= {f"{namespace_of(n)}:" if ":" in n else n for n in wanted.entity_blocks}
    return tuple(encode_text(head) for head in sorted(heads))


def _marks(wanted: Wanted) -> tuple[bytes, ...] | None:
    # Text that is no ASCII can be stored in more than one way.
    if not all(map(str.isascii, wanted.blocks)):
        return None
    by_namespace: dict[str, list[str]] = {}
    for name in sorted(wanted.blocks):
        by_namespace.setdefault(namespace_of(name), []).append(name)
    shared = by_namespace.pop(HOST_NAMESPACE, [])
    # One search for all of a namespace; the host game's own is in every palette.
    shared += [_beginning(names[0], names[-1]) for names in by_namespace.values()]
    return tuple(map(encode_text, shared))


def _beginning(first: str, last: str) -> str:
    """Return what two names begin with, and every name between them in sorted order."""
    same = takewhile(lambda pair: pair[0] == pair[1], zip(first, last, strict=False))
    return "".join(letter for letter, _ in same)
