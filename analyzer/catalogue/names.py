"""Texts that a catalogue may hold, by what they name."""

from __future__ import annotations

from typing import Final

from analyzer.catalogue.shapes import Text

#: What reports show as it stands.
LABEL: Final = Text("a line of text", r"[^\x00-\x1f\x7f-\x9f]+", 200)
PROPERTY: Final = Text("the name of a block property", r"[^\s\[\],=]+")
VALUE: Final = Text("a value of a block property, as text", r"[^\s\[\],=]+")
#: A block name; the characters are those the host game allows in its names (from memory).
BLOCK_NAME: Final = Text("a block name such as quayworks:shaft", r"[a-z0-9_.\-]+:[a-z0-9_.\-/]+")
ENTITY_ID: Final = Text(
    "a block-entity id such as quayworks:shaft", r"[A-Za-z0-9_.\-]+(:[A-Za-z0-9_.\-/]+)?"
)
COMPOUND_KEY: Final = Text("a key of a compound", r"[^\x00-\x1f\x7f-\x9f]+")
NAMESPACE: Final = Text("a namespace such as quayworks", r"[a-z0-9_.\-]+")
