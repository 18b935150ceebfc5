"""Names for the saves of a fleet: each its own, none a path."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable


def distinct_names(saves: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Return a name for each save, in their order.

    Parameters
    ----------
    saves
        Title and folder name of each; none gives none. The title is its name unless others have
        it too, whose folder names are then told, and where these are the same as well, a number.

    >>> distinct_names([("Quay", "world"), ("Ropewalk", "world"), ("Quay", "backup")])
    ('Quay (world)', 'Ropewalk', 'Quay (backup)')
    >>> distinct_names([("world", "world"), ("world", "world"), ("world (2)", "mill")])
    ('world', 'world (3)', 'world (2)')
    """
    given = list(saves)
    titles = Counter(title for title, _ in given)
    wanted = [
        title if titles[title] == 1 or title == folder else f"{title} ({folder})"
        for title, folder in given
    ]
    taken = set(wanted)
    seen: set[str] = set()
    distinct: list[str] = []
    for name in wanted:
        own, number = name, 1
        while own in seen or (number > 1 and own in taken):
            number += 1
            own = f"{name} ({number})"
        seen.add(own)
        distinct.append(own)
    return tuple(distinct)
