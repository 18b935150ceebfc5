"""What is measured, and what is asked of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tests.bench.worlds import LAST, Plan

#: Big saves by name.
SAVES: Final = {
    "early-60k": Plan(60_000),
    "early-60k-parts": Plan(60_000, share=0.01),
    "last-60k": Plan(60_000, LAST),
    "early-200k": Plan(200_000),
    "early-1m-parts": Plan(1_000_000, share=0.01, quickly=True),
}
#: Catalogue whose types all have block entities; the same with a type that has none.
ENTITIES: Final = ("--catalogue", "tests/bench/entities.toml")
PALETTES: Final = (*ENTITIES, "--catalogue", "tests/bench/palettes.toml")


@dataclass(frozen=True)
class Audit:
    """A whole audit against inflating the save: the ratio asked for at most.

    With `plain` it is measured without machine code as well.
    """

    name: str
    what: str
    save: str
    catalogues: tuple[str, ...]
    most: float
    runs: int = 5
    plain: bool = False


AUDITS: Final = (
    Audit("audit-60k", "60,000 full chunks of 1.21, no parts", "early-60k", ENTITIES, 0.5),
    Audit("audit-200k", "200,000 full chunks of 1.21, no parts", "early-200k", ENTITIES, 0.3),
    Audit("audit-parts", "60,000, twenty parts in 1 % of them", "early-60k-parts", ENTITIES, 0.7),
    Audit("audit-bare", "60,000, one type without entities", "early-60k", PALETTES, 1.3),
    Audit(
        "audit-bare-200k",
        "200,000, one type without entities",
        "early-200k",
        PALETTES,
        1.3,
        3,
        True,
    ),
    Audit(
        "audit-last",
        "60,000 of 1.20, the list written last",
        "last-60k",
        ENTITIES,
        1.25,
        plain=True,
    ),
)


@dataclass(frozen=True)
class Listing:
    """A library that lists the block entities of some regions: how many times slower, at least."""

    library: str
    regions: int
    least: float


LISTINGS: Final = (
    Listing("amulet-nbt", 6, 20),
    Listing("nbtlib", 2, 100),
    Listing("anvil-parser2", 2, 100),
)

#: Most time from the positions to the findings per time of networkx, and runs of each shape.
GRAPH_MOST: Final = 0.2
GRAPH_PARTS: Final = 1_000_000
#: Sizes that the exponent is fitted to, and the greatest exponent asked for.
GRAPH_SIZES: Final = (100_000, 200_000, 500_000, 1_000_000, 2_000_000, 4_000_000)
EXPONENT_MOST: Final = 1.1
#: Most bytes a part while solving; most MiB over the interpreter with its libraries of a scan.
SOLVING_BYTES: Final = 300
SCANNING_MIB: Final = 150
#: Most seconds over a bare interpreter.
START_SECONDS: Final = 0.06
#: Second audit per first; seconds beyond the solving; the same with one region in 100 touched.
SECOND_MOST: Final = 0.10
SECOND_SECONDS: Final = 0.35
TOUCHED_MOST: Final = 0.15
