"""The head of a catalogue: what holds for the whole file."""

from __future__ import annotations

from typing import Final

from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.catalogue import Warnings
from analyzer.catalogue.names import LABEL, NAMESPACE
from analyzer.catalogue.shapes import Exact, Fixed, Key, Table, Whole, Word

#: Version of the format.
FORMAT: Final = 1

_COUNT: Final = Whole("a whole number of at least 1", 1)
WARNINGS: Final = Table(
    "warnings",
    "a table of thresholds",
    (
        Key(
            "thin_headroom",
            Exact(Bound.SHARE),
            "Headroom below this share of the capacity is thin.",
            default=f"{float(Warnings.thin_headroom)}",
        ),
        Key(
            "heavy_parts",
            _COUNT,
            "A network of more parts is heavy.",
            default=f"{Warnings.heavy_parts}",
        ),
        Key(
            "heavy_chunks",
            _COUNT,
            "A network that spans more chunks is heavy.",
            default=f"{Warnings.heavy_chunks}",
        ),
        Key(
            "heavy_switches",
            _COUNT,
            "A network of more switches is heavy.",
            default=f"{Warnings.heavy_switches}",
        ),
    ),
)
HEAD: Final = Table(
    "catalogue",
    "the catalogue's head",
    (
        Key("format", Fixed(FORMAT), "Version of this format.", required=True),
        Key("title", LABEL, "What the catalogue is called in reports.", required=True),
        Key(
            "namespace",
            NAMESPACE,
            "Class (`fits`) of its types that name none of their own; usually the namespace of "
            "its blocks.",
            required=True,
        ),
        Key("version", LABEL, "Version of the catalogue, as text.", required=True),
        Key("licence", LABEL, "Licence of the catalogue.", required=True),
        Key("power_unit", LABEL, "Label of power in reports.", default="`power`"),
        Key(
            "speed_limit_rpm",
            Exact(Bound.POSITIVE),
            "Highest speed in rpm of every type without a limit of its own.",
            default="no limit",
        ),
        Key(
            "unequal_movers",
            Word(("fastest", "conflict")),
            "Active movers that push the same way at different speeds: the fastest leads, or they "
            "conflict.",
            default="`fastest`",
        ),
        Key(
            "warnings",
            WARNINGS,
            "Thresholds of [warnings](#thresholds-of-warnings).",
            default="their defaults",
        ),
    ),
)
