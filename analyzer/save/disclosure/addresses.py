"""Finding addresses and absolute paths in a text."""

from __future__ import annotations

import ipaddress
import re
from collections.abc import Iterator
from typing import Final

from analyzer.save.disclosure.disclosure import AddressKind

# Longest part of an address that is given back.
_LONGEST: Final = 200
_MOST_IN_A_TEXT: Final = 20

# What may stand in a path or URL; a text in JSON ends at its quote.
_BODY: Final = r"[^\s\"'<>|*?,;(){}\[\]`\x00-\x1f\x7f]"
# Folders at the top of the systems that the game runs on, below which people keep things.
_TOPS: Final = (
    "home|Users|root|mnt|media|srv|opt|var|usr|tmp|etc|data|sdcard|storage|Volumes|Applications"
)
# Each begins where no letter goes before, so that no text is tried more than a few times over.
_PATTERNS: Final = (
    (AddressKind.URL, rf"(?<![A-Za-z0-9+.-])[A-Za-z][A-Za-z0-9+.-]{{1,15}}://{_BODY}+"),
    (
        AddressKind.EMAIL,
        r"(?<![\w.%+-])[\w.%+-]{1,64}@[A-Za-z0-9-]{1,63}(?:\.[A-Za-z0-9-]{1,63}){1,8}(?![\w-])",
    ),
    (AddressKind.PATH, rf"(?<![A-Za-z0-9])[A-Za-z]:(?:\\\\?|/){_BODY}+"),
    (AddressKind.PATH, rf"(?<![\\\w])\\\\(?:\\\\)?[\w.-]{{1,63}}\\{_BODY}+"),
    (AddressKind.PATH, rf"(?<![\w/.:~-])/(?:{_TOPS})/{_BODY}+"),
    (AddressKind.IP, r"(?<![\w:.])[0-9A-Fa-f:]{2,45}:[0-9A-Fa-f:.]{1,45}(?![\w:])"),
    (AddressKind.IP, r"(?<![\w.+-])[0-9]{1,3}(?:\.[0-9]{1,3}){3}(?![\w.+-])"),
)
_COMPILED: Final = tuple((kind, re.compile(pattern)) for kind, pattern in _PATTERNS)
# Of these one stands in every address; most texts of a save hold none.
_HINT: Final = re.compile(rb"://|@|[A-Za-z]:[\\/]|\\\\|/[A-Za-z]+/|[0-9]\.[0-9]|:[0-9A-Fa-f]*:")
_ENDS: Final = ".,:;!"


def may_hold_addresses(raw: bytes) -> bool:
    """Return whether a text in modified UTF-8 is worth a closer look."""
    return _HINT.search(raw) is not None


def find_addresses(text: str, *, versions: bool = False) -> Iterator[tuple[AddressKind, str]]:
    r"""Yield the addresses and absolute paths in a text, as they stand there.

    At most twenty; of long ones the beginning. Nothing is looked up.

    Parameters
    ----------
    text
        The text.
    versions
        Whether it gives a version: four numbers with dots are no IP address then.

    >>> for kind, found in find_addresses("http://quay.example/map or C:\\Users\\mate\\saves"):
    ...     print(kind, found)
    URL http://quay.example/map
    path C:\Users\mate\saves
    """
    taken: list[tuple[int, int]] = []
    for kind, pattern in _COMPILED:
        if versions and kind == AddressKind.IP:
            continue
        for match in pattern.finditer(text):
            start, end = match.span()
            if any(start < other_end and other < end for other, other_end in taken):
                continue
            found = match[0][:_LONGEST].rstrip(_ENDS)
            if kind == AddressKind.IP and not _is_ip(found):
                continue
            taken.append((start, end))
            yield kind, found
            if len(taken) == _MOST_IN_A_TEXT:
                return


def _is_ip(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True
