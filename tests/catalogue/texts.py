"""Catalogue texts for tests."""

from __future__ import annotations

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.catalogue import PartType
from analyzer.catalogue.load import load_catalogue_text

#: A head of seven lines: what follows begins on line 8.
HEAD = """\
[catalogue]
format = 1
title = "Quayworks boatyard"
namespace = "quayworks"
version = "1.0"
licence = "MIT"

"""
FILE = "quay.toml"
SHAFT = """\
[parts."quayworks:shaft"]
role = "transmission"
entity = ["quayworks:shaft"]
pose = {axis = "axis"}
ends = {front = 1, back = -1}
"""
WHEEL = """\
[parts."quayworks:wheel"]
role = "mover"
entity = ["quayworks:wheel"]
pose = {facing = "facing"}
ends = {front = 1}
rated_rpm = 8
torque = 32
"""


def mistakes_in(body: str, head: str = HEAD) -> tuple[Mistake, ...]:
    """Return the mistakes in a catalogue; none for one that is accepted."""
    try:
        load_catalogue_text(head + body, FILE)
    except CatalogueError as error:
        return error.mistakes
    return ()


def type_of(body: str, head: str = HEAD) -> PartType:
    """Return the one type of a catalogue."""
    (found,) = load_catalogue_text(head + body, FILE).types
    return found


def shaft(**keys: str) -> str:
    """Return a shaft's entry with some keys written otherwise; an empty text leaves one out."""
    entry = {
        "role": '"transmission"',
        "entity": '["quayworks:shaft"]',
        "pose": '{axis = "axis"}',
        "ends": "{front = 1, back = -1}",
        **keys,
    }
    lines = [f"{key} = {value}" for key, value in entry.items() if value]
    return "\n".join(['[parts."quayworks:shaft"]', *lines, ""])
