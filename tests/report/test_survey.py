"""The inventory for people and machines."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from analyzer.catalogue.load import load_catalogues
from analyzer.demo.content import place
from analyzer.pipeline.survey import survey_save
from analyzer.report.survey_json import iter_survey_json
from analyzer.report.survey_list import COLUMNS, iter_survey_list
from analyzer.report.survey_text import iter_survey_text
from tests.support.demo import demo_save
from tests.support.saves import save_of
from tests.support.schemas import check_document

NOTHING = load_catalogues([])
QUAYWORKS = load_catalogues(["quayworks"])


def test_the_demo_inventory_keeps_to_the_schema_and_counts_every_row() -> None:
    inventory = survey_save(demo_save())
    found = check_document("".join(iter_survey_json(inventory, QUAYWORKS)), "survey")
    assert sum(kind["count"] for kind in found["entities"]) == len(inventory.rows)
    for kind in found["entities"]:
        assert sum(kind["dimensions"].values()) == kind["count"]
        assert kind["known"] == (kind["id"].startswith("quayworks:"))


def test_properties_and_numbers_of_a_kind_are_gathered(tmp_path: Path) -> None:
    save = save_of(
        tmp_path,
        [
            place((1, 64, 1), "a:reel[lit=true]", {"id": "a:reel", "Pull": 4}),
            place((2, 64, 1), "a:reel[lit=false]", {"id": "a:reel", "Pull": -2}),
            place((3, 64, 1), "a:big_reel", {"id": "a:reel"}),
        ],
    )
    document = check_document("".join(iter_survey_json(survey_save(save), NOTHING)), "survey")
    (kind,) = document["entities"]
    assert kind["blocks"] == {
        "a:big_reel": {"count": 1, "properties": {}},
        "a:reel": {"count": 2, "properties": {"lit": ["false", "true"]}},
    }
    assert kind["fields"]["Pull"] == [-2, 4]
    assert kind["known"] is False


def test_an_empty_save_has_an_empty_inventory(tmp_path: Path) -> None:
    inventory = survey_save(save_of(tmp_path, []))
    document = check_document("".join(iter_survey_json(inventory, NOTHING)), "survey")
    assert document["entities"] == []
    assert "".join(iter_survey_list(inventory)) == ",".join(COLUMNS) + "\n"
    assert "no block entity" in "".join(iter_survey_text(inventory, NOTHING))


def test_the_list_has_one_row_an_entity_with_sorted_properties(tmp_path: Path) -> None:
    save = save_of(
        tmp_path,
        [
            place((5, 64, -1), "a:reel[lit=true,axis=x]", {"id": "a:reel"}),
            place((-9, 70, 3), "a:vat", {"id": "a:vat"}),
        ],
    )
    rows = list(csv.reader(io.StringIO("".join(iter_survey_list(survey_save(save))))))
    assert rows == [
        ["dimension", "x", "y", "z", "id", "block", "properties"],
        ["minecraft:overworld", "-9", "70", "3", "a:vat", "a:vat", ""],
        ["minecraft:overworld", "5", "64", "-1", "a:reel", "a:reel", "axis=x;lit=true"],
    ]


def test_a_namespace_leaves_out_all_others() -> None:
    inventory = survey_save(demo_save(), namespace="quayworks_stores")
    assert {row.id for row in inventory.rows} == {"quayworks_stores:sea_chest"}
    assert {field.id for field in inventory.fields} == {"quayworks_stores:sea_chest"}


def test_the_text_lists_other_namespaces_before_the_games_own() -> None:
    text = "".join(iter_survey_text(survey_save(demo_save()), NOTHING, save="world"))
    heads = [line for line in text.splitlines() if line in ("minecraft", "quayworks")]
    assert heads == ["quayworks", "minecraft"]
    assert "  lineshaft survey world --draft quayworks.toml --namespace quayworks\n" in text
    # A command stays on one line, so that it can be pasted.
    assert max(len(line) for line in text.splitlines() if " lineshaft " not in line) <= 80


def test_what_is_known_needs_no_draft() -> None:
    text = "".join(iter_survey_text(survey_save(demo_save()), QUAYWORKS, save="world"))
    assert "--namespace quayworks\n" not in text
    assert "--namespace quayworks_stores\n" in text
