"""What a part's couplings may depend on, in a catalogue: switches, governors; speeds recorded."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from analyzer.catalogue.bounds import Bound
from analyzer.catalogue.number_format import NUMBER, PATH
from analyzer.catalogue.port_format import PORT
from analyzer.catalogue.shapes import Demand, Demands, Exact, Key, Many, Table, Word

SWITCH: Final = Table(
    "switch",
    "a switch",
    (
        Key(
            "kind",
            Word(("clutch", "reverser")),
            "`clutch`: opens ports while it is off. `reverser`: flips one while it is on.",
            required=True,
        ),
        Key(
            "opens",
            Many("a list of ports", PORT, most=len(PORT.words), distinct=True),
            "Ports that couple nothing while the clutch is off. For a clutch only.",
            default="a mistake in a clutch",
        ),
        Key(
            "flips",
            PORT,
            "Port whose couplings have the other sign while the reverser is on. For a reverser "
            "only.",
            default="a mistake in a reverser",
        ),
        Key("on", NUMBER, "0 means off, anything else on.", required=True),
    ),
    demands=Demands(
        "kind",
        MappingProxyType(
            {
                "clutch": Demand(required=("opens",), refused=("flips",)),
                "reverser": Demand(required=("flips",), refused=("opens",)),
            }
        ),
    ),
)
GOVERNOR: Final = Table(
    "governor",
    "a governor",
    (
        Key("port", PORT, "The port that it makes turn at the set speed.", required=True),
        Key("set_rpm", NUMBER, "The set speed in rpm, signed about the front.", required=True),
        Key(
            "sense",
            Word(("own", "follow")),
            "`own`: the port turns the way the set speed says. `follow`: only the magnitude of "
            "the set speed counts, and the port turns the way the governor does.",
            required=True,
        ),
    ),
)
RECORDED: Final = Table(
    "recorded",
    "where the recorded speed is stored",
    (
        Key(
            "stored",
            PATH,
            "Where the number lies in the block entity, as for a [stored number](#numbers).",
            required=True,
        ),
        Key(
            "scale",
            Exact(Bound.NONZERO),
            "Speed in rpm that a stored 1 stands for.",
            default="1",
        ),
        Key(
            "about",
            Word(("front", "axis")),
            "What it is signed about: the part's front, or the positive world axis of it.",
            required=True,
        ),
    ),
)
