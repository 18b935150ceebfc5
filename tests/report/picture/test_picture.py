"""Networks as pictures: what is drawn, and that names of the save are text."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest
from PIL import Image

from analyzer.base.errors import UsageError
from analyzer.findings.audit import Audit
from analyzer.pipeline.draw import ViewName, draw_network, find_network
from analyzer.report.picture.png import png_bytes
from analyzer.report.picture.shapes import Line, Picture, Text
from analyzer.report.picture.svg import iter_svg
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, audit_of, machine, mechanism, mover

ONE = Fraction(1)
NS = "{http://www.w3.org/2000/svg}"
VIEWS: tuple[ViewName, ...] = ("plan", "elevation", "power")
GEARS = "minecraft:overworld:17,64,22"


def texts(picture: Picture) -> list[str]:
    return [shape.text for shape in picture.shapes if isinstance(shape, Text)]


def svg(picture: Picture) -> str:
    return "".join(iter_svg(picture))


@pytest.mark.parametrize("view", VIEWS)
def test_every_network_of_the_demo_is_well_formed_and_inside_its_sheet(view: ViewName) -> None:
    audit = demo_audit()
    for anchor in audit.networks.anchor.tolist():
        at = audit.parts.block_at(anchor)
        dimension = audit.parts.dimensions[int(audit.parts.dimension[anchor])]
        picture = draw_network(audit, f"{dimension}:{at.x},{at.y},{at.z}", view)
        root = ET.fromstring(svg(picture))
        assert root.attrib["role"] == "img"
        assert root.find(f"{NS}title") is not None
        for shape in picture.shapes:
            if isinstance(shape, Line):
                for x, y in shape.points:
                    assert -1 <= x <= picture.width + 1
                    assert -1 <= y <= picture.height + 1


def test_the_same_audit_gives_the_same_bytes() -> None:
    one, two = (svg(draw_network(demo_audit(), GEARS, "plan")) for _ in range(2))
    assert one == two


def test_nothing_in_a_picture_leads_out_of_it() -> None:
    for view in VIEWS:
        text = svg(draw_network(demo_audit(), GEARS, view))
        assert re.findall(r"(?:href|src|url\()", text) == []
        assert re.findall(r"https?://[^\s\"]+", text) == ["http://www.w3.org/2000/svg"]


def test_each_rigid_shaft_has_its_speed_and_the_grid_its_coordinates() -> None:
    told = Counter(texts(draw_network(demo_audit(), GEARS, "elevation")))
    for speed in ("8", "16", "32", "64", "128", "256", "512"):
        assert told[speed] >= 1
    assert {"x", "y", "17", "70"} <= set(told)
    assert "z" not in told


def test_findings_are_numbered_in_words_shape_and_colour() -> None:
    picture = draw_network(demo_audit(), GEARS, "plan")
    assert any(text.startswith("error: over-speed.") for text in texts(picture))
    assert "#b23a00" in {getattr(shape, "ink", None) for shape in picture.shapes}


def test_an_elevation_is_seen_from_where_more_can_be_seen() -> None:
    wide = draw_network(demo_audit(), GEARS, "elevation")
    assert any("from the south" in text or "from the east" in text for text in texts(wide))
    row = audit_of(mechanism([mover(8), SHAFT], [(0, 1, ONE)]))
    assert any("from the south" in text for text in texts(draw_network(row, "0,64,0", "elevation")))


def test_a_power_diagram_tells_what_each_shaft_gives_and_asks_for() -> None:
    parts = [mover(8, 32), SHAFT, machine(8), machine(8), machine(8)]
    couplings = [(0, 1, Fraction(-2)), (1, 2, ONE), (1, 3, ONE), (1, 4, Fraction(1, 2))]
    told = texts(draw_network(audit_of(mechanism(parts, couplings)), "0,64,0", "power"))
    assert "8 rpm about +x" in told
    assert "-16 rpm about +x" in told
    assert "+256" in told
    assert "mesh -2" in told
    assert any(text.startswith("2 alike, each 1 part") for text in told), (
        "two like machines, one box"
    )
    assert any(
        text.startswith("256 hands given, 320 asked for") and text.endswith("64 too few")
        for text in told
    )


def test_a_large_network_is_drawn_up_to_a_bound_and_says_so() -> None:
    parts = [mover(8), *[SHAFT] * 800]
    chain = [(number, number + 1, Fraction(-1)) for number in range(800)]
    audit = audit_of(mechanism(parts, chain))
    power = draw_network(audit, "0,64,0", "power")
    assert any("farther from the movers left out" in text for text in texts(power))
    assert power.width < 20_000
    assert draw_network(audit, "0,64,0", "plan").width < 20_000


def test_a_picture_of_a_single_part_is_no_special_case() -> None:
    audit = audit_of(mechanism([SHAFT]))
    for view in VIEWS:
        ET.fromstring(svg(draw_network(audit, "0,64,0", view)))


HOSTILE = ["<script>x</script>", "]]>", '"&', "a\x1bb", "\u202ex", "\ud800", "a\nb", "=1+1"]


@pytest.mark.parametrize("name", HOSTILE)
def test_names_of_the_save_are_text_and_nothing_else(name: str) -> None:
    audit = _named(name)
    for view in VIEWS:
        picture = draw_network(audit, "0,64,0", view)
        text = svg(picture)
        text.encode("utf-8")
        root = ET.fromstring(text)
        assert {element.tag for element in root.iter()} <= {
            f"{NS}{tag}"
            for tag in ("svg", "title", "desc", "rect", "polygon", "polyline", "circle", "text")
        }
        assert text.replace("\n", "").isprintable()


def _named(name: str) -> Audit:
    audit = audit_of(mechanism([mover(8), mover(-8)], [(0, 1, ONE)]))
    kinds = tuple(replace(kind, block=f"x:{name}") for kind in audit.parts.catalogues.types)
    sources = tuple(replace(one, title=name) for one in audit.parts.catalogues.sources)
    catalogues = replace(audit.parts.catalogues, types=kinds, sources=sources)
    scan = replace(audit.scan, facts=replace(audit.scan.facts, title=name))
    return replace(audit, parts=replace(audit.parts, catalogues=catalogues), scan=scan)


def test_a_png_shows_the_same_sheet_twice_as_large() -> None:
    picture = draw_network(demo_audit(), GEARS, "plan")
    image = Image.open(io.BytesIO(png_bytes(picture)))
    assert image.size == (round(picture.width * 2), round(picture.height * 2))
    colours = image.convert("RGB").getcolors(1 << 24)
    assert colours is not None
    assert len(colours) > 20
    assert max(colours)[1] == (251, 250, 246), "most of a sheet is paper"


def test_a_png_of_letters_beyond_latin_is_painted() -> None:
    png_bytes(draw_network(_named("Ölmühle 水車 \U0001f6de"), "0,64,0", "power"))


def test_a_network_may_be_named_without_its_dimension() -> None:
    audit = demo_audit()
    assert find_network(audit, "17,64,22") == find_network(audit, GEARS)


def test_a_network_that_is_none_is_refused_with_the_nearest() -> None:
    with pytest.raises(UsageError, match="Did you mean 'minecraft:overworld:17,64,22'"):
        find_network(demo_audit(), "minecraft:overworld:17,64,23")
    with pytest.raises(UsageError, match="lineshaft networks"):
        find_network(audit_of(mechanism([])), "x")
