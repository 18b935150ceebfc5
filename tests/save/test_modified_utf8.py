"""Modified UTF-8 by java.io.DataInput's description, and by a general-purpose library."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.save.nbt.modified_utf8 import decode_text, encode_text

TEXTS = st.text(st.characters(exclude_categories=("Cs",)))


@given(TEXTS)
@settings(deadline=None, derandomize=True)
def test_what_is_encoded_decodes_to_itself(value: str) -> None:
    assert decode_text(encode_text(value)) == value


@given(TEXTS)
@settings(deadline=None, derandomize=True)
def test_amulet_encodes_alike(value: str) -> None:
    mutf8 = pytest.importorskip("mutf8", reason="amulet-nbt's encoder judges this one")
    assert encode_text(value) == mutf8.encode_modified_utf8(value)


@pytest.mark.parametrize(
    ("raw", "value"),
    [
        (b"\xc0\x80", "\x00"),
        (b"\xed\xa0\xbc\xed\xbf\x8f", "\U0001f3cf"),
        (b"a\xc0\x80\xed\xa0\xbc\xed\xbf\x8fb", "a\x00\U0001f3cfb"),
        # A program that writes plain UTF-8 is understood too.
        ("🐟".encode(), "🐟"),
        (b"", ""),
    ],
)
def test_nul_and_pairs_of_surrogates_are_decoded(raw: bytes, value: str) -> None:
    assert decode_text(raw) == value


@given(st.binary(max_size=40))
@settings(deadline=None, derandomize=True)
def test_any_bytes_give_text_that_can_be_written_as_utf_8(raw: bytes) -> None:
    decode_text(raw).encode("utf-8")


@pytest.mark.parametrize("raw", [b"\xff\xfe", b"ab\xe2\x82", b"\xed\xa0\xbc", b"\xed\xbf\x8f!"])
def test_bytes_that_are_no_text_become_replacement_characters(raw: bytes) -> None:
    assert "�" in decode_text(raw)
