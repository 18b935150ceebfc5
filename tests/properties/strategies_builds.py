"""Strategies for builds of quayworks parts: rows of ends, rims, links, switches and governors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import product, starmap
from typing import Any

from hypothesis import strategies as st

from analyzer.base.frame import AXES, FACES
from analyzer.base.place import Block
from analyzer.demo.content import Placement
from analyzer.demo.parts import packed, part

#: Cells from the corner of a build to its farthest, along each axis.
REACH = 5
LENGTHS = st.integers(3, 5)
WIDTHS = st.sampled_from([1, 2, 3, 2])
#: Parts with what their state says besides how they lie.
KINDS = (
    *("line_shaft[axis]", "oak_shaft[axis]", "riser_box[axis]", "bevel_box[facing]"),
    *("trundle_12[axis]", "trundle_15[axis]", "bull_gear_24[axis]", "bull_gear_36[axis]"),
    *("chain_wheel[axis]", "crown_wheel_30[facing]", "edge_stone[axis]"),
    *("rope_sheave[axis]", "great_sheave[axis]", "crossed_sheave[axis]"),
    *("dog_clutch[axis,lever=in]", "dog_clutch[axis,lever=out]"),
    *("tumbler_reverse[facing,lever=ahead]", "tumbler_reverse[facing,lever=astern]"),
    *("flyball_governor[facing]", "lever_governor[facing,weights=1]"),
    *("strand_layer[facing]", "oakum_picker[facing]", "slip_winch[facing]"),
)
MOVERS = ("tide_wheel[facing]", "treadwheel[facing,walkers=3]", "treadwheel[facing,walkers=1]")
SHEAVES = ("rope_sheave", "great_sheave", "crossed_sheave")


@dataclass(frozen=True)
class Piece:
    """A part of a build.

    Parameters
    ----------
    at
        Where it stands, from the corner of the build.
    state
        Its block state without the namespace.
    data
        What its block entity keeps.
    partner
        Where its rope leads, from the corner of the build; None for one without a rope.
    """

    at: Block
    state: str
    data: Mapping[str, Any] = field(default_factory=dict)
    partner: Block | None = None


#: Parts at different places.
Build = tuple[Piece, ...]


@st.composite
def builds(draw: st.DrawFn) -> Build:
    """Draw builds: rows side by side, with a few gaps, and ropes between their sheaves."""
    axis = draw(st.integers(0, 2))
    lengths = [draw(LENGTHS if one == axis else WIDTHS) for one in range(3)]
    cells = list(starmap(Block, product(*map(range, lengths))))
    # Few kinds in one build, so that those of one kind meet.
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=4, max_size=7, unique=True))
    states = _states([*kinds, draw(st.sampled_from(MOVERS))], axis)
    rows = st.lists(states, min_size=len(cells), max_size=len(cells))
    gaps = draw(st.sets(st.sampled_from(cells), max_size=2))
    filled = {at: state for at, state in zip(cells, draw(rows), strict=True) if at not in gaps}
    sheaves = [at for at, state in filled.items() if state.startswith(SHEAVES)]
    return tuple(
        Piece(
            at,
            state,
            data=draw(DATA) if state.startswith("flyball") else {},
            partner=draw(_partners(sheaves)) if at in sheaves else None,
        )
        for at, state in filled.items()
    )


def _states(kinds: list[str], axis: int) -> st.SearchStrategy[str]:
    """Draw states of parts that lie along an axis, either way round; a few lie otherwise."""
    return st.builds(
        lambda kind, lies, back: kind.replace("axis", f"axis={AXES[lies]}").replace(
            "facing", f"facing={FACES[2 * lies + back]}"
        ),
        st.sampled_from(kinds),
        st.sampled_from([axis] * 12 + [0, 1, 2]),
        st.sampled_from([0, 0, 0, 1]),
    )


DATA = st.just({}) | st.builds(lambda rpm: {"Balls": {"Rpm": rpm}}, st.integers(-8, 8))


def _partners(sheaves: list[Block]) -> st.SearchStrategy[Block | None]:
    astray = st.builds(Block, *(st.integers(0, REACH) for _ in AXES))
    return st.sampled_from(sheaves) | st.sampled_from(sheaves) | st.none() | astray


def placed(build: Build, corner: Block) -> tuple[Placement, ...]:
    """Return the blocks of a build that stands at a corner."""
    return tuple(
        part(there(corner, piece.at), piece.state, **piece.data, **_rope(piece, corner))
        for piece in build
    )


def there(corner: Block, step: Block) -> Block:
    """Return the place that lies a step from a corner."""
    return Block(*(start + by for start, by in zip(corner, step, strict=True)))


def _rope(piece: Piece, corner: Block) -> dict[str, Any]:
    if piece.partner is None:
        return {}
    partner = there(corner, piece.partner)
    if piece.state.startswith("rope_sheave"):
        return {"LeadsTo": dict(zip("XYZ", partner, strict=True))}
    if piece.state.startswith("great_sheave"):
        return {
            "Rope": {"Steps": [to - at for to, at in zip(piece.partner, piece.at, strict=True)]}
        }
    return {"LeadsTo": packed(partner)}
