"""Structure templates on the command line: one file, or a folder of them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from analyzer.demo.template import write_template
from tests.support.command import lineshaft
from tests.support.schemas import check_document
from tests.support.sketch import sketch

QUAYWORKS = ("--catalogue", "quayworks")
OVERLOADED = "wheel:e lathe:x lathe:x lathe:x lathe:x lathe:x"


@pytest.fixture
def templates(tmp_path: Path) -> Path:
    folder = tmp_path / "cranes"
    write_template(folder / "winch.nbt", sketch("wheel:e shaft:x layer:e"))
    write_template(folder / "hall" / "mast.nbt", sketch(OVERLOADED))
    return folder


def test_one_template_is_audited_with_positions_of_its_own(templates: Path) -> None:
    done = lineshaft("audit", templates / "hall" / "mast.nbt", *QUAYWORKS)
    assert done.status == 1
    assert "template:mast\n" in done.out
    assert "where  quayworks:spar_lathe at 1 0 0\n" in done.out
    assert "templates   1 read; positions are their own\n" in done.out
    # Where it will stand is not known.
    assert "/execute" not in done.out
    assert "/tp" not in done.out


def test_a_sound_template_ends_with_0(templates: Path) -> None:
    assert lineshaft("audit", templates / "winch.nbt", *QUAYWORKS).status == 0


def test_a_folder_of_templates_is_audited_each_on_its_own(templates: Path) -> None:
    done = lineshaft("audit", templates, *QUAYWORKS, "--format", "json")
    document = check_document(done.out, "audit")
    assert done.status == 1
    assert document["scan"]["dimensions"] == ["template:hall/mast", "template:winch"]
    assert {one["id"] for one in document["networks"]} == {
        "template:hall/mast:0,0,0",
        "template:winch:0,0,0",
    }


def test_the_other_commands_read_templates_too(templates: Path) -> None:
    assert len(lineshaft("parts", templates, *QUAYWORKS).out.splitlines()) == 10
    near = lineshaft("networks", templates, *QUAYWORKS, "--near", 0, 0, 0)
    assert near.status == 0
    assert "nearest of them: template:winch:0,0,0\n" in near.out
    assert "tp @s" not in near.out
    survey = json.loads(lineshaft("survey", templates, "--format", "json").out)
    assert sum(entity["count"] for entity in survey["entities"]) == 9


def test_one_of_several_templates_can_be_asked_for(templates: Path) -> None:
    done = lineshaft("audit", templates, *QUAYWORKS, "--dimension", "template:winch")
    assert done.status == 0
    assert "overload" not in done.out


def test_a_damaged_template_ends_with_3_and_the_others_are_judged(templates: Path) -> None:
    (templates / "winch.nbt").write_bytes(b"\x1f\x8b no template")
    done = lineshaft("audit", templates, *QUAYWORKS)
    assert done.status == 3
    assert "error: overload" in done.out
    assert "winch.nbt" in done.out
    assert lineshaft("audit", templates, *QUAYWORKS, "--allow-unread").status == 1


def test_what_was_wrong_in_a_template_that_cannot_be_read_is_not_called_gone(
    templates: Path, tmp_path: Path
) -> None:
    path = tmp_path / "report.json"
    lineshaft("audit", templates, *QUAYWORKS, "--format", "json", "--output", path)
    (templates / "hall" / "mast.nbt").write_bytes(b"\x1f\x8b no template")
    done = lineshaft("audit", templates, *QUAYWORKS, "--baseline", path)
    assert "  not judged: error: overload at 1 0 0 in template:hall/mast\n" in done.out


def test_settings_lie_in_the_folder_that_holds_the_template(templates: Path) -> None:
    (templates / "lineshaft.toml").write_text('catalogues = ["quayworks"]', "utf-8")
    done = lineshaft("audit", templates / "winch.nbt")
    assert done.status == 0
    assert done.err == f"settings from {templates / 'lineshaft.toml'}\n"


def test_a_folder_without_anything_to_read_ends_with_2(tmp_path: Path) -> None:
    done = lineshaft("audit", tmp_path, *QUAYWORKS)
    assert (done.status, done.out) == (2, "")
    assert "structure template" in done.err
