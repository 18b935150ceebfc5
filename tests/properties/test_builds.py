"""Where a build stands and in what order it was placed changes coordinates alone."""

from __future__ import annotations

import random
from collections.abc import Iterable

from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.place import Block
from analyzer.base.policy import Policy
from analyzer.catalogue.load import load_catalogues
from analyzer.demo.content import Placement
from analyzer.demo.manner import Compression, Manner
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from tests.properties.examples import few, holds, new_folder
from tests.properties.sameness import as_plain
from tests.properties.strategies_builds import REACH, Build, builds, placed
from tests.properties.strategies_places import BORDERS, FARTHEST
from tests.properties.strategies_saves import VERSIONS
from tests.properties.telling import telling
from tests.support.check import checked
from tests.support.saves import save_of

SUBJECT = "Properties: builds"
QUAYWORKS = load_catalogues(["quayworks"])
#: Every place of a finding is named.
POLICY = Policy(worst_places=10**6)
#: Within one section, wherever a build reaches.
HOME = Block(5, 69, 5)
SHIFTS = 35
SHIFTED = holds(
    SUBJECT,
    "P11",
    "rows of ends, rims, own offsets, ropes, switches and governors, shifted by whole chunks and "
    "regions or laid across their borders and those of sections, in any layout and compression",
    "the same networks, speeds, budgets, findings and witnesses; only coordinates change",
    SHIFTS,
)
ORDERS = 25
PERMUTED = holds(
    SUBJECT,
    "P12",
    "the same parts placed in another order",
    "the same audit, whole",
    ORDERS,
)
ACROSS = st.builds(
    int.__sub__,
    st.sampled_from([at for at in BORDERS if abs(at) < FARTHEST]),
    st.integers(0, REACH),
)
WHOLE = st.builds(int.__mul__, st.sampled_from([16, 512]), st.integers(-3, 3))
CORNERS = st.builds(
    Block,
    ACROSS | WHOLE.map(lambda by: HOME.x + by),
    st.sampled_from([HOME.y, HOME.y + 16, *(16 * border - 3 for border in (1, 5, 8))]),
    ACROSS | WHOLE.map(lambda by: HOME.z + by),
)
# The long of a packed position is split otherwise before 1952 (docs/save-format.md).
MANNERS = st.builds(
    Manner,
    st.sampled_from([version for version in VERSIONS if version >= 1952]),
    st.sampled_from(Compression),
    st.booleans(),
)


def audited(placements: Iterable[Placement], manner: Manner = Manner()) -> Audit:  # noqa: B008
    with new_folder() as folder:
        save = save_of(folder, placements, manner=manner)
        return audit_save(save, catalogues=QUAYWORKS, policy=POLICY)


@checked(SHIFTED)
@few(SHIFTS)
@given(builds(), CORNERS, MANNERS)
def test_shifting_a_build_changes_its_coordinates_alone(
    build: Build, corner: Block, manner: Manner
) -> None:
    here = audited(placed(build, HOME))
    there = audited(placed(build, corner), manner)
    assert telling(there, corner) == telling(here, HOME)


@checked(PERMUTED)
@few(ORDERS)
@given(builds(), CORNERS, st.integers(0, 99))
def test_the_order_of_placing_does_not_show(build: Build, corner: Block, seed: int) -> None:
    placements = placed(build, corner)
    permuted = random.Random(seed).sample(placements, len(placements))
    assert as_plain(audited(permuted)) == as_plain(audited(placements))
