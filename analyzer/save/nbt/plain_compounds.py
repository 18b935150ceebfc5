"""Lists of plain compounds, passed over by a pattern instead of tag by tag.

Palettes and lists of ticks are compounds of numbers and short texts, and a save is full of them:
where a program writes the list of block entities last, all stand before it. The pattern
is exact: what it matches is as many whole compounds as it is asked for. Where it does not match,
nothing is known, and the walk goes on tag by tag.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from typing import Final

#: How deep a plain compound reaches: itself, and compounds of texts within it.
PLAIN_DEPTH: Final = 2
# Usual lengths of names and values first: the alternatives are tried in their order.
_LENGTHS: Final = (1, *range(4, 28), 2, 3, 0, *range(28, 41))
# Bytes of the value after the name, by tag.
_NUMBERS: Final = {3: 4, 1: 1, 4: 8, 2: 2, 5: 4, 6: 8}
# How many compounds are asked for at once.
_RUNS: Final = (8, 4, 2, 1)

_Match = Callable[[bytes, int], re.Match[bytes] | None]


def pass_compounds(data: bytes, at: int, count: int) -> tuple[int, int]:
    r"""Pass over plain compounds at the head of a list of compounds.

    Parameters
    ----------
    data
        The buffer.
    at
        Where the first element stands, in bytes.
    count
        How many elements the list has, all of them compounds.

    Returns
    -------
    at, count
        Where the first element stands that is not plain, and how many elements are left; at the
        end of the buffer nothing is plain.

    >>> air = b"\x08\x00\x04Name\x00\x0dminecraft:air\x00"
    >>> pass_compounds(3 * air + b"?", 0, 4) == (3 * len(air), 1)
    True
    """
    for run, match in _patterns():
        while count >= run:
            found = match(data, at)
            if found is None:
                break
            at, count = found.end(), count - run
    return at, count


@cache
def _patterns() -> tuple[tuple[int, _Match], ...]:
    """Return how many plain compounds each pattern matches; it takes a while to make them."""
    short = b"|".join(b"\\x%02x.{%d}" % (length, length) for length in _LENGTHS)
    text = b"\\x00(?:%s)" % short
    numbers = b"|".join(b"\\x%02x%s.{%d}" % (tag, text, width) for tag, width in _NUMBERS.items())
    texts = b"\\x08%s%s" % (text, text)
    inner = b"\\x0a%s(?:%s)*+\\x00" % (text, texts)
    plain = b"(?:%s|%s|%s)*+\\x00" % (texts, inner, numbers)
    return tuple((run, re.compile(b"(?:%s){%d}" % (plain, run), re.DOTALL).match) for run in _RUNS)
