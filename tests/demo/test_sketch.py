from __future__ import annotations

import pytest

from analyzer.demo.parts import part
from tests.support.sketch import sketch, state_of


def test_a_sketch_reads_rows_southward_and_layers_upward():
    assert sketch(
        """
        wheel:e  shaft:x
        .        stone:x
        ---
        .        tread:n,walkers=2
        """,
        at=(10, 64, -5),
    ) == (
        part((10, 64, -5), "tide_wheel[facing=east]"),
        part((11, 64, -5), "line_shaft[axis=x]"),
        part((11, 64, -4), "edge_stone[axis=x]"),
        part((11, 65, -5), "treadwheel[facing=north,walkers=2]"),
    )


def test_a_sketch_hands_data_to_the_parts_it_names():
    (winch,) = sketch("winch:e", data={"winch:e": {"Pull": 16}})
    assert winch.entity == {"id": "quayworks:slip_winch", "Pull": 16}


def test_a_type_without_a_block_entity_gets_none():
    (oak,) = sketch("oak:y")
    assert oak.entity is None


def test_a_name_that_means_nothing_is_refused():
    with pytest.raises(ValueError, match="'anchor' in 'anchor:x' is not one of"):
        state_of("anchor:x")
