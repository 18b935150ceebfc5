"""Links in a catalogue: belts and chains, and where a part stores its partner's position."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from analyzer.catalogue.names import COMPOUND_KEY
from analyzer.catalogue.number_format import MOST_STEPS, POSITIVE, STEP
from analyzer.catalogue.shapes import Demand, Demands, Either, Flag, Key, Many, Table, Word

_REFUSES_NAMES = Demand(refused=("names",))
PARTNER: Final = Table(
    "partner",
    "where a part stores its partner",
    (
        Key(
            "stored",
            Either(
                "partner_path",
                "a key as text, or a list of keys and indices",
                (COMPOUND_KEY, Many("a list of steps", STEP, most=MOST_STEPS, least=0)),
            ),
            "Where the position lies in the block entity: one key, or a list of steps. With the "
            "form `named`, `[]` is the block entity itself.",
            required=True,
        ),
        Key(
            "form",
            Word(("named", "list", "packed")),
            "`named`: a compound with three integers. `list`: a list or an array of three. "
            "`packed`: one long that holds [all three](save-format.md#packed-positions).",
            required=True,
        ),
        Key(
            "names",
            Many("a list of the keys of x, y and z", COMPOUND_KEY, 3, distinct=True, least=3),
            "Keys of the three integers. For the form `named` only.",
            default='`["x", "y", "z"]`',
        ),
        Key(
            "relative",
            Flag(),
            "`true`: counted from the part's own block, along the world's axes. `false`: a "
            "position in the world.",
            default="`false`",
        ),
    ),
    demands=Demands(
        "form",
        MappingProxyType(
            {"named": Demand(), "list": _REFUSES_NAMES, "packed": _REFUSES_NAMES},
        ),
    ),
)
LINK: Final = Table(
    "link",
    "a link",
    (
        Key(
            "crossed",
            Flag(),
            "`true`: the belt that this part stores is crossed, so that both turn opposite ways.",
            default="`false`",
        ),
        Key("diameter", POSITIVE, "Diameter of its pulley, in any unit.", default="1"),
        Key(
            "partner",
            PARTNER,
            "Where the block entity keeps the position of the part at the other end.",
            default="none: only the other part stores it",
        ),
    ),
)
