"""What a block is shown to be, in world directions."""

import pytest

from analyzer.base.block import parse_block_state
from analyzer.catalogue.load import load_catalogues
from analyzer.catalogue.show import Shown, show_block
from analyzer.report.catalogue_show import iter_shown


def text_of(state):
    block = show_block(parse_block_state(f"quayworks:{state}"), load_catalogues(["quayworks"]))
    assert isinstance(block, Shown)
    return "".join(iter_shown(block))


@pytest.mark.parametrize(
    ("state", "lines"),
    [
        ("crossed_sheave[axis=z]", ["link        crossed, diameter 2; partner stored at"]),
        ("dog_clutch[axis=x,lever=out]", ["clutch, opens front (east) while 0; here 0"]),
        ("tumbler_reverse[facing=south,lever=astern]", ["flips front (south) while not 0; here 1"]),
        ("flyball_governor[facing=north]", ["governor    front (north), set rpm stored at"]),
        ("lever_governor[facing=up,weights=2]", ["front (up), set rpm 8, turning the way the"]),
        ("strand_layer[facing=west]", ['recorded    stored at "Counter" > "Tenths", times 1/10']),
        ("wind_engine[facing=east,half=lower,brake=off]", ["  back  west   0 1 0  -1\n"]),
        ("chain_wheel[axis=x]", ["  0 1 0    x      3/2 times  the same way  quayworks:chain_pin"]),
    ],
)
def test_joints_are_shown_where_there_are_some(state, lines):
    text = text_of(state)
    for line in lines:
        assert line in text


def test_a_toothed_offset_shows_its_contact():
    assert "by the teeth" in text_of("crown_wheel_30[facing=up]")


def test_a_plain_shaft_shows_none_of_it():
    text = text_of("line_shaft[axis=x]")
    assert not any(word in text for word in ("switch", "governor", "link", "Own offsets", "cell"))
    assert max(map(len, text.splitlines())) <= 80
