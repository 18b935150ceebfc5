"""Strategies for catalogues: what is written, and what every block of it must come to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from analyzer.base.frame import AXES, FACES, SIDES, axis_of
from analyzer.catalogue.catalogue import Field
from tests.properties.strategies_numbers import Given, Literal, literals, numbers

LABELS = st.text("Quay works#\"'=[]é木", min_size=1, max_size=9)
#: Fields by the key, or the keys, at which their number stands.
SINGLE = {
    "rated_rpm": Field.RATED_RPM,
    "torque": Field.TORQUE,
    "active": Field.ACTIVE,
    "least_rpm": Field.LEAST_RPM,
}


@dataclass(frozen=True)
class DrawnType:
    """A type, and how one of its blocks lies.

    Parameters
    ----------
    entry
        What stands in the catalogue.
    posing
        The properties by which the block lies, and the world face of its front.
    numbers
        Its numbers by field.
    limit
        Its own speed limit.
    """

    block: str
    entry: dict[str, Any]
    posing: tuple[Mapping[str, str], str]
    numbers: Mapping[Field, Given]
    limit: Fraction | None


@dataclass(frozen=True)
class DrawnCatalogue:
    """A catalogue as a document, with the speed limit of its head, and its types."""

    document: dict[str, Any]
    limit: Fraction | None
    types: tuple[DrawnType, ...]


@st.composite
def catalogues(draw: st.DrawFn) -> DrawnCatalogue:
    """Draw catalogues of one to three types."""
    limit: Literal | None = draw(st.none() | literals(signed=False, zero=False))
    head = {
        "format": 1,
        **{key: draw(LABELS) for key in ("title", "version", "licence")},
        "namespace": "quayworks",
        **({} if limit is None else {"speed_limit_rpm": limit}),
    }
    names = draw(st.lists(st.sampled_from("abcd"), min_size=1, max_size=3, unique=True))
    types = tuple(draw(drawn_types(f"quayworks:{name}")) for name in names)
    document = {"catalogue": head, "parts": {type_.block: type_.entry for type_ in types}}
    return DrawnCatalogue(document, None if limit is None else limit.value, types)


@st.composite
def drawn_types(draw: st.DrawFn, block: str) -> DrawnType:
    """Draw a type of any role, with ends, a rim, a link, a switch or a governor."""
    role = draw(st.sampled_from(["transmission", "mover", "machine"]))
    stored = draw(st.booleans())
    pose, posing = draw(_poses())
    entry: dict[str, Any] = {
        "role": role,
        "entity": ["quayworks:works"] if stored else False,
        "pose": pose,
    }
    given: dict[Field, Given] = {}

    def number(field: Field, *, signed: bool = True, zero: bool = True) -> Any:
        name = f"prop_{field.name.lower()}"
        given[field] = draw(numbers(name, stored=stored, signed=signed, zero=zero))
        return given[field].data

    sides = draw(st.lists(st.sampled_from(range(6)), min_size=1, max_size=3, unique=True))
    entry["ends"] = {SIDES[side]: number(Field(side), zero=False) for side in sides}
    if draw(st.booleans()):
        kind = draw(st.sampled_from(["near", "far"]))
        entry["rim"] = {"kind": kind, "teeth": number(Field.TEETH, signed=False, zero=False)}
    if draw(st.booleans()):
        entry["link"] = {"diameter": number(Field.DIAMETER, signed=False, zero=False)}
    for key in draw(_keys(role)):
        signed = key in ("rated_rpm", "active")
        entry[key] = number(SINGLE[key], signed=signed)
    ports = [SIDES[side] for side in sides] + [key for key in ("rim", "link") if key in entry]
    control = draw(st.sampled_from(["", "clutch", "reverser", "governor"]))
    if control == "governor" and role == "transmission":
        sense = draw(st.sampled_from(["own", "follow"]))
        port = draw(st.sampled_from(ports))
        entry["governor"] = {"port": port, "set_rpm": number(Field.SET_RPM), "sense": sense}
    elif control == "clutch":
        opens = draw(st.lists(st.sampled_from(ports), min_size=1, unique=True))
        entry["switch"] = {"kind": control, "opens": opens, "on": number(Field.SWITCH)}
    elif control == "reverser":
        flips = draw(st.sampled_from(ports))
        entry["switch"] = {"kind": control, "flips": flips, "on": number(Field.SWITCH)}
    limit: Literal | None = draw(st.none() | literals(signed=False, zero=False))
    entry |= {} if limit is None else {"speed_limit_rpm": limit}
    return DrawnType(block, entry, posing, given, None if limit is None else limit.value)


def _keys(role: str) -> st.SearchStrategy[list[str]]:
    if role == "mover":
        return st.sampled_from([["rated_rpm", "torque"], ["rated_rpm", "torque", "active"]])
    if role == "machine":
        return st.sampled_from([["torque"], ["torque", "least_rpm"]])
    return st.just([])


@st.composite
def _poses(draw: st.DrawFn) -> tuple[dict[str, Any], tuple[dict[str, str], str]]:
    """Draw a pose rule, with properties of a block and the face that its front has by them."""
    way = draw(st.sampled_from(["axis", "facing", "front", "cases"]))
    front = draw(st.sampled_from(FACES))
    if way == "axis":
        axis = draw(st.sampled_from(AXES))
        return {"axis": "lies"}, ({"lies": axis}, FACES[2 * AXES.index(axis)])
    if way == "facing":
        return {"facing": "looks"}, ({"looks": front}, front)
    if way == "front":
        return draw(_fixed(front)), ({}, front)
    values = draw(st.lists(st.sampled_from("pqrs"), min_size=1, max_size=3, unique=True))
    fronts = [draw(st.sampled_from(FACES)) for _ in values]
    cases = [
        {"when": {"lay": value}, **draw(_fixed(face))}
        for value, face in zip(values, fronts, strict=True)
    ]
    chosen = draw(st.sampled_from(range(len(values))))
    return {"cases": cases}, ({"lay": values[chosen]}, fronts[chosen])


def _fixed(front: str) -> st.SearchStrategy[dict[str, Any]]:
    axis = axis_of(FACES.index(front))
    tops = [face for number, face in enumerate(FACES) if axis_of(number) != axis]
    return st.just({"front": front}) | st.sampled_from(tops).map(
        lambda top: {"front": front, "top": top}
    )
