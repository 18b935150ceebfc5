from __future__ import annotations

import importlib.machinery
import importlib.util
import sys
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.catalogue import (
    ByProperty,
    Catalogues,
    Constant,
    End,
    PoseByAxis,
    PoseByCases,
    PoseByFacing,
    PoseFixed,
    Rim,
    Stored,
)
from analyzer.catalogue.entry_points import known_catalogues
from analyzer.catalogue.load import load_catalogue_text, load_catalogues
from tests.catalogue.texts import FILE, HEAD, SHAFT, WHEEL, shaft, type_of

Offer = Callable[[str, str], Path]


def refused(*names: str) -> tuple[Mistake, ...]:
    with pytest.raises(CatalogueError) as caught:
        load_catalogues(names)
    return caught.value.mistakes


def write(folder: Path, name: str, text: str) -> str:
    path = folder / name
    path.write_text(text, "utf-8")
    return str(path)


def test_no_catalogue_gives_no_types() -> None:
    assert load_catalogues([]) == Catalogues((), ())


def test_the_head_says_what_holds_for_the_whole_file() -> None:
    head = HEAD.rstrip() + '\npower_unit = "hands"\nspeed_limit_rpm = 256.5\n'
    text = (
        head
        + 'unequal_movers = "conflict"\n'
        + SHAFT
        + shaft(speed_limit_rpm="64").replace(":shaft", ":thin_shaft")
    )
    loaded = load_catalogue_text(text, FILE)
    (source,) = loaded.sources
    assert (source.title, source.namespace, source.version) == (
        "Quayworks boatyard",
        "quayworks",
        "1.0",
    )
    assert (source.licence, source.power_unit, source.types) == ("MIT", "hands", 2)
    assert source.speed_limit_rpm == Fraction(513, 2)
    assert source.unequal_movers == "conflict"
    assert [one.speed_limit_rpm for one in loaded.types] == [Fraction(513, 2), 64]


def test_what_the_head_leaves_out_has_its_default() -> None:
    loaded = load_catalogue_text(HEAD + SHAFT, FILE)
    (source,) = loaded.sources
    assert (source.power_unit, source.speed_limit_rpm, source.unequal_movers) == (
        "power",
        None,
        "fastest",
    )
    assert (loaded.types[0].speed_limit_rpm, loaded.types[0].fits) == (None, "quayworks")


def test_decimals_are_read_exactly() -> None:
    assert type_of(shaft(ends="{front = 0.1, top = 1e-3}")).ends == (
        End(0, Constant(Fraction(1, 10))),
        End(2, Constant(Fraction(1, 1000))),
    )


def test_ends_are_numbered_by_own_side_in_a_fixed_order() -> None:
    ends = "{left = 6, right = 5, bottom = 4, top = 3, back = 2, front = 1}"
    assert type_of(shaft(ends=ends)).ends == tuple(
        End(side, Constant(Fraction(side + 1))) for side in range(6)
    )


def test_a_number_is_constant_by_property_or_stored() -> None:
    wheel = type_of(
        WHEEL.replace("= 8", '= {stored = ["Drive", "Speeds", 0], scale = 0.5, default = 4}')
        .replace("= 32", '= {property = "walkers", values = {"1" = 12.5, "0" = 0}}')
        .replace("front = 1", 'front = {stored = "Gear"}')
    )
    assert wheel.rated_rpm == Stored(("Drive", "Speeds", 0), Fraction(1, 2), Fraction(4))
    assert wheel.torque == ByProperty("walkers", (("0", Fraction(0)), ("1", Fraction(25, 2))))
    assert wheel.ends == (End(0, Stored(("Gear",))),)
    assert wheel.active is None


def test_a_rim_has_the_placements_it_lists_or_all_that_its_kind_can_have() -> None:
    teeth = Constant(Fraction(24))
    assert type_of(shaft(rim='{kind = "far", teeth = 24}')).rim == Rim(
        "far", teeth, frozenset({"diagonal", "crossed"})
    )
    assert type_of(shaft(rim='{kind = "near", teeth = 24}')).rim == Rim(
        "near", teeth, frozenset({"beside", "diagonal"})
    )
    rim = '{kind = "near", teeth = 24, placements = ["beside"]}'
    assert type_of(shaft(rim=rim)).rim == Rim("near", teeth, frozenset({"beside"}))


def test_a_type_names_its_block_entities_or_has_none() -> None:
    assert type_of(shaft(entity='["q:b", "q:a"]')).entities == ("q:b", "q:a")
    assert type_of(shaft(entity="false")).entities == ()


def test_each_way_of_giving_a_pose_has_its_own_rule() -> None:
    assert type_of(shaft(pose='{axis = "lie"}')).pose == PoseByAxis("lie")
    assert type_of(shaft(pose='{facing = "look"}')).pose == PoseByFacing("look")
    assert isinstance(type_of(shaft(pose='{front = "up"}')).pose, PoseFixed)
    cases = '{cases = [{when = {b = "1", a = "2"}, front = "up"}]}'
    rule = type_of(shaft(pose=cases)).pose
    assert isinstance(rule, PoseByCases)
    assert rule.cases[0][0] == (("a", "2"), ("b", "1"))


def test_types_are_sorted_by_block_whatever_the_order_of_files_and_entries(tmp_path: Path) -> None:
    one = write(tmp_path, "one.toml", HEAD + SHAFT.replace(":shaft", ":z") + WHEEL)
    two = write(tmp_path, "two.toml", HEAD.replace("1.0", "2.0") + SHAFT)
    loaded = load_catalogues([two, one])
    assert [one.block for one in loaded.types] == [
        "quayworks:shaft",
        "quayworks:wheel",
        "quayworks:z",
    ]
    assert [source.version for source in loaded.sources] == ["2.0", "1.0"]
    assert [one.source for one in loaded.types] == [0, 1, 1]


def test_a_block_in_two_catalogues_is_one_mistake_that_names_both_places(tmp_path: Path) -> None:
    one = write(tmp_path, "one.toml", HEAD + WHEEL + SHAFT)
    two = write(tmp_path, "two.toml", HEAD + SHAFT)
    assert refused(one, two) == (
        Mistake(
            two,
            8,
            'parts."quayworks:shaft"',
            f'parts."quayworks:shaft" is also in {one}:15',
            "each block in one catalogue",
        ),
    )


def test_a_catalogue_given_twice_is_one_mistake(tmp_path: Path) -> None:
    one = write(tmp_path, "one.toml", HEAD + SHAFT + WHEEL)
    again = str(tmp_path / "." / ".." / tmp_path.name / "one.toml")
    (mistake,) = refused(one, again)
    assert (mistake.file, mistake.found) == (again, "the catalogue is given twice")


def test_every_mistake_of_every_file_is_reported_at_once(tmp_path: Path) -> None:
    one = write(tmp_path, "one.toml", "a = ")
    two = write(tmp_path, "two.toml", HEAD + shaft(role='"carrier"', colour="1"))
    mistakes = refused(str(tmp_path / "none.toml"), one, two)
    assert [(Path(mistake.file).name, mistake.line) for mistake in mistakes] == [
        ("none.toml", 0),
        ("one.toml", 1),
        ("two.toml", 9),
        ("two.toml", 13),
    ]


def test_a_file_that_is_not_there_is_one_mistake(tmp_path: Path) -> None:
    path = str(tmp_path / "none.toml")
    assert refused(path) == (Mistake(path, 0, "", "no such file", "a catalogue file"),)


def test_a_folder_is_no_catalogue(tmp_path: Path) -> None:
    assert refused(str(tmp_path)) == (
        Mistake(str(tmp_path), 0, "", "found a folder", "a catalogue file"),
    )


def test_a_path_that_no_file_can_have_is_one_mistake() -> None:
    (mistake,) = refused("a\0b.toml")
    assert mistake.found.startswith("cannot be read: ")
    (mistake,) = refused("a\0b")
    assert mistake.found == "no such catalogue"


def test_a_file_of_any_name_is_read_where_it_exists(tmp_path: Path) -> None:
    assert len(load_catalogues([write(tmp_path, "quay.txt", HEAD + SHAFT)]).types) == 1


def test_the_demo_catalogue_is_loaded_by_name_without_importing_its_package() -> None:
    before = {name for name in sys.modules if name.startswith("analyzer.demo")}
    loaded = load_catalogues(["quayworks"])
    assert loaded.sources[0].namespace == "quayworks"
    assert {name for name in sys.modules if name.startswith("analyzer.demo")} == before


@pytest.fixture
def offer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Offer:
    """Return a function that installs a package that offers a catalogue and must not be imported.

    It takes the entry point's name and value, and returns the folder of installed packages.
    """

    def install(name: str, value: str) -> Path:
        site = tmp_path / "site"
        package = site / "harbour"
        (package / "inner").mkdir(parents=True)
        for folder in (package, package / "inner"):
            (folder / "__init__.py").write_text("raise RuntimeError('imported')\n")
        (package / "inner" / "quay.toml").write_text(HEAD + SHAFT)
        (package / "two words-1.toml").write_text(HEAD + WHEEL)
        info = site / "harbour-1.0.dist-info"
        info.mkdir()
        (info / "METADATA").write_text("Metadata-Version: 2.1\nName: harbour\nVersion: 1.0\n")
        (info / "entry_points.txt").write_text(f"[lineshaft.catalogues]\n{name} = {value}\n")
        monkeypatch.syspath_prepend(str(site))
        return site

    return install


@pytest.mark.parametrize(
    ("value", "block"),
    [
        ("harbour.inner:quay.toml", "quayworks:shaft"),
        ("harbour:inner/quay.toml", "quayworks:shaft"),
        ("harbour:two words-1.toml", "quayworks:wheel"),
    ],
)
def test_an_installed_package_offers_a_catalogue_without_being_imported(
    offer: Offer, value: str, block: str
) -> None:
    offer("harbour-parts", value)
    assert "harbour-parts" in known_catalogues()
    assert [one.block for one in load_catalogues(["harbour-parts"]).types] == [block]
    assert "harbour" not in sys.modules


def test_a_package_that_an_import_hook_finds_elsewhere_offers_its_catalogue(
    offer: Offer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # So do editable installs of projects whose package does not lie on the path itself.
    site = offer("harbour-parts", "harbour.inner:quay.toml")
    elsewhere = tmp_path / "project" / "src_of_harbour"
    elsewhere.parent.mkdir()
    (site / "harbour").rename(elsewhere)

    class Finder:
        @staticmethod
        def find_spec(
            name: str, path: object = None, target: object = None
        ) -> importlib.machinery.ModuleSpec | None:
            if name != "harbour":
                return None
            return importlib.util.spec_from_file_location(
                name,
                elsewhere / "__init__.py",
                submodule_search_locations=[str(elsewhere)],
            )

    monkeypatch.setattr(sys, "meta_path", [*sys.meta_path, Finder])
    assert len(load_catalogues(["harbour-parts"]).types) == 1


@pytest.mark.parametrize(
    "value",
    [
        "harbour:none.toml",
        "harbour",
        "nowhere_at_all:quay.toml",
        "harbour:../harbour/inner/quay.toml",
        "harbour:/etc/passwd",
    ],
)
def test_a_package_without_the_file_it_names_is_one_mistake(offer: Offer, value: str) -> None:
    offer("harbour-parts", value)
    (mistake,) = refused("harbour-parts")
    assert mistake.found == "the package that offers this catalogue does not hold its file"


def test_mistakes_in_an_offered_catalogue_carry_its_name(offer: Offer) -> None:
    site = offer("harbour-parts", "harbour.inner:quay.toml")
    (site / "harbour" / "inner" / "quay.toml").write_text("x = 1\n" + HEAD)
    (mistake,) = refused("harbour-parts")
    assert (mistake.file, mistake.line, mistake.key) == ("harbour-parts", 1, "x")


def test_an_unknown_name_is_one_mistake_that_lists_the_known_names(offer: Offer) -> None:
    offer("harbour-parts", "harbour.inner:quay.toml")
    (mistake,) = refused("quaywork")
    assert mistake == Mistake(
        "quaywork",
        0,
        "",
        'no such catalogue; did you mean "quayworks"?',
        "a path that ends in .toml, or the name of an installed catalogue "
        "(harbour-parts, quayworks)",
    )
