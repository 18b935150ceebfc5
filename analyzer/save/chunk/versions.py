"""Data versions of the host game: numbers that grow with every version of what it saves."""

from __future__ import annotations

from typing import Final

#: First data version (17w47a, on the way to 1.13) whose blocks have names.
FIRST_NAMED: Final = 1451

#: First data version (21w43a, on the way to 1.18) whose chunks have no compound ``Level``.
FIRST_UNWRAPPED: Final = 2844

#: Newest data version whose chunks were looked at when the reader was written (26.3-snapshot-9).
#: Newer ones are read too, as long as their layout is one of those known.
NEWEST_KNOWN: Final = 5011
