"""Text as a save stores it: Java's modified UTF-8 (java.io.DataInput, "Modified UTF-8").

NUL is stored as ``C0 80`` and a character beyond U+FFFF as two surrogates of three bytes each.
"""

from __future__ import annotations


def decode_text(raw: bytes) -> str:
    r"""Return the text of some bytes of modified UTF-8.

    Bytes that are no modified UTF-8, and surrogates without a partner, become U+FFFD, so that the
    result can always be written as UTF-8.

    >>> decode_text(b"tide \xc0\x80 \xed\xa0\xbd\xed\xb0\x9f")
    'tide \x00 🐟'
    """
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        pass
    # C0 is never a continuation byte, so C0 80 cannot straddle two characters.
    plain = raw.replace(b"\xc0\x80", b"\x00")
    try:
        halves = plain.decode("utf-8", "surrogatepass")
    except UnicodeDecodeError:
        return plain.decode("utf-8", "replace")
    return halves.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def encode_text(text: str) -> bytes:
    """Return the modified UTF-8 of a text.

    >>> encode_text("🐟").hex(" ")
    'ed a0 bd ed b0 9f'
    """
    if text.isascii() and "\x00" not in text:
        return text.encode("ascii")
    units = text.encode("utf-16-be", "surrogatepass")
    halves = (int.from_bytes(units[at : at + 2], "big") for at in range(0, len(units), 2))
    encoded = "".join(map(chr, halves)).encode("utf-8", "surrogatepass")
    return encoded.replace(b"\x00", b"\xc0\x80")
