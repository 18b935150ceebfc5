"""A case: a small save, a question about it, and the answer worked out by hand."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from analyzer.base.place import Chunk
from analyzer.demo.content import Content, Placement
from analyzer.demo.manner import Compression, Manner
from analyzer.demo.region import slot_bytes
from analyzer.demo.write import write_save
from tests.support.saves import OVERWORLD

PRACTICE = "Common practice of the trade, no source"
#: Name of a case's own catalogue in its folder.
CATALOGUE = "catalogue.toml"
At = tuple[int, int, int]

#: A chunk that cannot be read, east of the one in which cases stand.
DAMAGED = {(1, 0): slot_bytes(b"this is no chunk", Compression.NONE)}

#: Cases are written uncompressed, so that their bytes depend on no library's version, and without
#: empty chunks round them: their builds stand clear of their chunk's border.
PLAIN = Manner(compression=Compression.NONE, ring_chunks=0)


@dataclass(frozen=True)
class Network:
    """A network that the case should have. Exact numbers are written as text."""

    anchor: At
    state: str
    parts: int
    capacity: str
    demand: str | None
    speeds: Mapping[At, str]
    conflict: str = "none"
    cut: bool = False
    dimension: str = OVERWORLD

    @property
    def headroom(self) -> str | None:
        if self.demand is None:
            return None
        return str(Fraction(self.capacity) - Fraction(self.demand))


@dataclass(frozen=True)
class Fault:
    """A finding that the case should give."""

    rule: str
    at: At | None
    count: int = 1
    measured: str | None = None
    limit: str | None = None
    level: str = "error"
    certain: str = "yes"


def drives_nothing(at: At, movers: int = 1) -> Fault:
    """The note that a network's movers turn and no machine is there, at the first of them."""
    return Fault("driving-nothing", at, movers, level="note")


def thin(at: At, machines: int, headroom: str, wanted: str) -> Fault:
    """The warning of headroom below a tenth of capacity, at the most demanding machine."""
    return Fault("thin-headroom", at, machines, headroom, wanted, level="warning")


@dataclass(frozen=True)
class Case:
    """One case folder: its name, and all that goes into it.

    The catalogue is the demo's, or the text of one that goes into the folder; an empty text stands
    for none.
    """

    name: str
    question: str
    working: Sequence[str]
    blocks: Sequence[Placement]
    networks: Sequence[Network]
    faults: Sequence[Fault] = ()
    source: str = PRACTICE
    manner: Manner = PLAIN
    broken: Mapping[tuple[int, int], bytes] | None = None
    unfinished: Sequence[tuple[int, int]] = ()
    catalogue: str | None = None
    hints: bool = False


def write_case(case: Case, fixtures: Path) -> None:
    """Write a case into a folder of its name: its save, and ``case.toml``."""
    broken = {Chunk(*chunk): data for chunk, data in (case.broken or {}).items()}
    folder = fixtures / case.name
    write_save(
        folder / "save",
        {
            OVERWORLD: Content(
                tuple(case.blocks),
                broken=broken,
                unfinished=frozenset(Chunk(*chunk) for chunk in case.unfinished),
            )
        },
        manner=case.manner,
        title=case.name,
    )
    if case.catalogue:
        (folder / CATALOGUE).write_text(case.catalogue, "utf-8", newline="\n")
    (folder / "case.toml").write_text("\n".join(_lines(case)) + "\n", "utf-8", newline="\n")


def _lines(case: Case) -> Iterable[str]:
    yield _pair("question", case.question)
    yield "working = ["
    yield from (f"  {json.dumps(step)}," for step in case.working)
    yield "]"
    yield _pair("source", case.source)
    if case.catalogue != "":
        yield _pair("catalogue", "quayworks" if case.catalogue is None else CATALOGUE)
    if case.hints:
        yield _pair("hints", True)
    for network in sorted(case.networks, key=lambda each: each.anchor):
        yield "\n[[networks]]"
        yield _pair("dimension", network.dimension)
        yield _pair("anchor", network.anchor)
        for name in ("state", "conflict", "parts", "capacity", "demand", "headroom", "cut"):
            yield from _known(name, getattr(network, name))
        for at, rpm in sorted(network.speeds.items()):
            yield f"\n[[networks.speeds]]\n{_pair('at', at)}\n{_pair('rpm', rpm)}"
    for fault in case.faults:
        yield "\n[[findings]]"
        for name in ("rule", "level", "certain", "at", "count", "measured", "limit"):
            yield from _known(name, getattr(fault, name))


def _known(name: str, value: object) -> Iterable[str]:
    if value is not None:
        yield _pair(name, value)


def _pair(name: str, value: object) -> str:
    return f"{name} = {json.dumps(value)}"
