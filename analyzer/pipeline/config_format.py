"""The format of the configuration file: its tables of keys, in the shapes of the catalogue's."""

from __future__ import annotations

from typing import Final

from analyzer.catalogue.bounds import LARGEST, Bound
from analyzer.catalogue.names import LABEL
from analyzer.catalogue.shapes import Exact, Key, Many, Table, Text, Whole, Word
from analyzer.findings.registry import RULES

#: The level of a rule that is not judged.
OFF: Final = "off"
#: Most ignores of a file.
MOST_IGNORES: Final = 10_000

_LEVELS: Final = ("error", "warning", "note")
_COUNT: Final = Whole("a whole number of at least 1", 1)

LIMITS: Final = Table(
    "limits",
    "a table of limits",
    (
        Key(
            "speed_limit_rpm",
            Exact(Bound.POSITIVE),
            "Highest speed in rpm of every part; the limit itself is allowed.",
            default="the catalogues'",
        ),
        Key(
            "unequal_movers",
            Word(("fastest", "conflict")),
            "Active movers that push the same way at different speeds: the fastest leads, or they "
            "conflict.",
            default="the catalogues'",
        ),
        Key(
            "thin_headroom",
            Exact(Bound.SHARE),
            "Headroom below this share of the capacity is thin.",
            default="the catalogues'",
        ),
        Key(
            "heavy_parts",
            _COUNT,
            "A network of more parts is heavy.",
            default="the catalogues'",
        ),
        Key(
            "heavy_chunks",
            _COUNT,
            "A network that spans more chunks is heavy.",
            default="the catalogues'",
        ),
        Key(
            "heavy_switches",
            _COUNT,
            "A network of more switches is heavy.",
            default="the catalogues'",
        ),
    ),
)

LEVELS: Final = Table(
    "levels",
    "a table of levels by rule",
    tuple(
        Key(
            rule.name,
            Word((*_LEVELS, OFF)),
            "Level of its findings; `off`: it is not judged.",
            default=f"`{rule.level}`",
        )
        for rule in RULES
    ),
)

IGNORE: Final = Table(
    "ignore",
    "a table of what is accepted",
    (
        Key(
            "rule",
            Word(tuple(rule.name for rule in RULES)),
            "Findings of this rule.",
            default="every rule",
        ),
        Key(
            "network",
            Text(
                "a network's id such as minecraft:overworld:3,64,-20",
                r"[^\x00-\x1f\x7f-\x9f]+:-?\d{1,10},-?\d{1,10},-?\d{1,10}",
                300,
            ),
            "Findings about the network of this id. Not together with `box`.",
            default="every network",
        ),
        Key(
            "box",
            Many(
                "a list of integers x1, y1, z1, x2, y2, z2",
                Whole("an integer", -LARGEST),
                most=6,
                least=6,
            ),
            "Findings about networks with a part in this box, both corners included; of findings "
            "without a network, those whose place lies in it.",
            default="everywhere",
        ),
        Key("dimension", LABEL, "Findings in this dimension.", default="every dimension"),
        Key(
            "reason",
            Text("a line of text", r"(?=.*\S)[^\x00-\x1f\x7f-\x9f]+", 500),
            "Why it is accepted; reports repeat it.",
            required=True,
        ),
        Key(
            "until",
            Text("a day such as 2027-03-31", r"\d{4}-\d\d-\d\d"),
            "Last day on which this holds; afterwards the findings count again.",
            default="without end",
        ),
    ),
    apart=("network", "box"),
)

CONFIG: Final = Table(
    "config",
    "a configuration",
    (
        Key(
            "catalogues",
            Many("a list of catalogues", LABEL, most=256, distinct=True, least=0),
            "Catalogues: paths of TOML files, from the folder of this file, or names of installed "
            "ones.",
            default="none",
        ),
        Key(
            "fail_on",
            Word((*_LEVELS, "never")),
            "Lowest level of findings that makes the exit status of `audit` 1.",
            default="`error`",
        ),
        Key("limits", LIMITS, "[Limits](#limits) in place of the catalogues'.", default="none"),
        Key("levels", LEVELS, "[Levels](#levels) of findings by rule.", default="none"),
        Key(
            "ignore",
            Many("a list of tables", IGNORE, most=MOST_IGNORES, least=0),
            "[Findings that are accepted](#ignored-findings).",
            default="none",
        ),
    ),
)

#: Tables of the format in the order in which docs/configuration.md explains them.
TABLES: Final = (CONFIG, LIMITS, IGNORE)
