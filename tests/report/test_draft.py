"""A drafted catalogue: what is known is in it, what is missing is named by the check."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path

import pytest

from analyzer.base.errors import CatalogueError
from analyzer.catalogue.load import load_catalogue_text, load_catalogues
from analyzer.demo.content import Placement, place
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.survey import survey_save
from analyzer.report.draft import iter_draft
from analyzer.report.draft_pose import likely_pose
from tests.support.demo import demo_save
from tests.support.saves import save_of

NOTHING = load_catalogues([])


def draft_of(folder: Path, placements: Iterable[Placement]) -> str:
    return "".join(iter_draft(survey_save(save_of(folder, placements)), NOTHING))


def filled_in(draft: str) -> str:
    return draft.replace('licence = ""', 'licence = "MIT"').replace(
        'role = ""', 'role = "transmission"'
    )


def test_unfilled_the_check_names_each_gap_with_its_line() -> None:
    draft = "".join(iter_draft(survey_save(demo_save()), NOTHING))
    with pytest.raises(CatalogueError) as caught:
        load_catalogue_text(draft, "draft.toml")
    gaps = [number for number, line in enumerate(draft.splitlines(), 1) if '= ""' in line]
    assert [mistake.line for mistake in caught.value.mistakes] == gaps
    assert {mistake.found for mistake in caught.value.mistakes} == {'found ""'}


def test_filled_in_it_passes_and_finds_its_parts(tmp_path: Path) -> None:
    inventory = survey_save(demo_save(), namespace="quayworks")
    path = tmp_path / "quay.toml"
    path.write_text(filled_in("".join(iter_draft(inventory, NOTHING))), "utf-8")
    audit = audit_save(demo_save(), catalogues=[str(path)])
    # All but the gear whose block was taken away and the entry that is listed twice.
    assert len(audit.parts) == len(inventory.rows) - 2


def test_what_a_catalogue_knows_is_left_out() -> None:
    draft = "".join(iter_draft(survey_save(demo_save()), load_catalogues(["quayworks"])))
    assert list(tomllib.loads(draft)["parts"]) == ["quayworks_stores:sea_chest"]


def test_blocks_properties_and_numbers_are_noted(tmp_path: Path) -> None:
    data = {"id": "a:reel", "Drive": {"Pull": 4}, "Steps": [1, 2]}
    draft = draft_of(tmp_path, [place((1, 64, 1), "a:reel[facing=up,lit=true]", data)])
    assert "#   facing: up\n#   lit: true\n" in draft
    assert '#   {stored = ["Drive", "Pull"]}: 4\n' in draft
    assert "#   Steps[]: 1 to 2 (in a list: a path gives the index)\n" in draft
    assert tomllib.loads(draft)["parts"]["a:reel"] == {
        "role": "",
        "entity": ["a:reel"],
        "pose": {"facing": "facing"},
    }


def test_a_block_that_carries_two_ids_lists_both(tmp_path: Path) -> None:
    placements = [
        place((1, 64, 1), "a:gear", {"id": "a:gear"}),
        place((2, 64, 1), "a:gear", {"id": "a:old_gear"}),
    ]
    draft = draft_of(tmp_path, placements)
    assert tomllib.loads(draft)["parts"]["a:gear"]["entity"] == ["a:gear", "a:old_gear"]


def test_a_block_of_another_namespace_fits_its_own(tmp_path: Path) -> None:
    placements = [
        *(place((x, 64, 1), "a:reel", {"id": "a:reel"}) for x in range(2)),
        place((5, 64, 1), "b:vat", {"id": "b:vat"}),
    ]
    parsed = tomllib.loads(draft_of(tmp_path, placements))
    assert parsed["catalogue"]["namespace"] == "a"
    assert parsed["parts"]["b:vat"]["fits"] == "b"
    assert "fits" not in parsed["parts"]["a:reel"]


def test_what_is_left_where_a_block_was_taken_away_is_noted_and_no_entry(tmp_path: Path) -> None:
    draft = draft_of(tmp_path, [place((1, 64, 1), "minecraft:stone", {"id": "a:reel"})])
    assert "parts" not in tomllib.loads(draft)
    assert "#   a:reel at minecraft:stone: 1\n" in draft


def test_the_games_own_are_drafted_if_there_are_no_others(tmp_path: Path) -> None:
    draft = draft_of(tmp_path, [place((1, 64, 1), "minecraft:chest", {"id": "minecraft:chest"})])
    assert list(tomllib.loads(draft)["parts"]) == ["minecraft:chest"]


def test_a_save_with_nothing_unknown_gives_a_draft_without_types(tmp_path: Path) -> None:
    parsed = tomllib.loads(draft_of(tmp_path, []))
    assert parsed["catalogue"]["format"] == 1
    assert "parts" not in parsed


def test_names_from_a_save_cannot_leave_their_comment(tmp_path: Path) -> None:
    data = {"id": 'a:re"el', 'x\n[parts."b:c"]': 1}
    draft = draft_of(
        tmp_path,
        [place((1, 64, 1), "a:reel", data), place((2, 64, 1), "a:vat", {**data, "id": "a:vat"})],
    )
    assert list(tomllib.loads(draft)["parts"]) == ["a:vat"]
    load_catalogue_text(filled_in(draft), "draft.toml")


@pytest.mark.parametrize(
    ("properties", "pose"),
    [
        ({"facing": ["north", "up"]}, {"facing": "facing"}),
        ({"axis": ["x", "z"], "waterlogged": ["false"]}, {"axis": "axis"}),
        ({"shaft_axis": ["y"]}, {"axis": "shaft_axis"}),
        ({"axis": ["x"], "facing": ["north"]}, {"facing": "facing"}),
        ({"north": ["true", "false"]}, {"front": "north"}),
        ({}, {"front": "north"}),
        (
            {"orientation": ["down_east", "north_up"]},
            {
                "cases": [
                    {"when": {"orientation": "down_east"}, "front": "down", "top": "east"},
                    {"when": {"orientation": "north_up"}, "front": "north", "top": "up"},
                ]
            },
        ),
    ],
)
def test_the_pose_follows_what_properties_say(
    properties: dict[str, list[str]], pose: dict[str, object]
) -> None:
    assert tomllib.loads("".join(likely_pose(properties)))["pose"] == pose
