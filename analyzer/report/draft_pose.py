"""The pose that a block's properties make likely."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from analyzer.base.frame import AXES, FACES, axis_of
from analyzer.report.toml_text import toml_string

#: Values such as ``north_up``: a front and a top at a right angle to it.
_ORIENTATIONS: Final = {
    f"{front}_{top}": (front, top)
    for number, front in enumerate(FACES)
    for other, top in enumerate(FACES)
    if axis_of(number) != axis_of(other)
}


def likely_pose(properties: Mapping[str, Sequence[str]]) -> Iterator[str]:
    """Yield the lines of a pose rule in TOML.

    Parameters
    ----------
    properties
        The values that occur of each property. A property of faces gives the front, else one of
        axes, else one of fronts with tops; else the pose is fixed and said to be a guess.

    >>> print("".join(likely_pose({"axis": ["x", "z"], "lit": ["true"]})), end="")
    pose = {axis = "axis"}
    """
    for key, known, usual in (("facing", FACES, "facing"), ("axis", AXES, "axis")):
        name = _property_of(properties, known, usual)
        if name is not None:
            yield f"pose = {{{key} = {toml_string(name)}}}\n"
            return
    name = _property_of(properties, tuple(_ORIENTATIONS), "orientation")
    if name is None:
        yield 'pose = {front = "north"}  # a guess: no property tells how the block lies\n'
        return
    yield "pose = {cases = [\n"
    for value in properties[name]:
        front, top = _ORIENTATIONS[value]
        when = f"{{{toml_string(name)} = {toml_string(value)}}}"
        yield f'  {{when = {when}, front = "{front}", top = "{top}"}},\n'
    yield "]}\n"


def _property_of(
    properties: Mapping[str, Sequence[str]], known: Sequence[str], usual: str
) -> str | None:
    """Return a property all of whose values are known ones, the usual name before others."""
    fitting = [name for name, values in properties.items() if set(values) <= set(known)]
    return min(fitting, key=lambda name: (name != usual, name), default=None)
