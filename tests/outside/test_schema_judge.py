"""What the commands print for machines, and catalogues, are what their published schemas say."""

from __future__ import annotations

import json
import random
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import analyzer.catalogue
import analyzer.demo
import analyzer.report
from analyzer.catalogue.load import load_catalogue_text
from tests.grown.recipes import make_recipe
from tests.outside.judged_regions import SAVES, WORLDS, needs_worlds, survey_document
from tests.outside.judged_spoiling import iter_spoilt
from tests.support.check import Check, Evidence, Source, checked
from tests.support.command import lineshaft
from tests.support.demo import demo_save

SUBJECT = "Output and catalogues against their schemas"
SCHEMAS = {
    "audit": Path(analyzer.report.__path__[0]) / "schemas" / "audit.schema.json",
    "survey": Path(analyzer.report.__path__[0]) / "schemas" / "survey.schema.json",
    "catalogue": Path(analyzer.catalogue.__path__[0]) / "catalogue.schema.json",
}
DRAFT = "https://json-schema.org/draft/2020-12/schema"
JSONSCHEMA = Source(
    Evidence.LIBRARY,
    "jsonschema: Draft202012Validator, JSON Schema draft 2020-12",
    "json-schema.org/draft/2020-12, github.com/python-jsonschema/jsonschema",
)
RECIPES = 15
DAMAGED = "twoolie-nbt/damaged"
#: Saves with a catalogue of ores and such, and one with damage.
AUDITED = (
    "prismarine-provider-anvil/1.13.2",
    "derived/lz4",
    "rustmc-server/26.1.2",
    DAMAGED,
)
CATALOGUE = ("--catalogue", "quayworks")
#: Veins of ore as gears with ends all round, chests as machines, spawners as movers.
ORES = """
[catalogue]
format = 1
title = "Ores"
namespace = "minecraft"
version = "1"
licence = "MIT"

[parts."minecraft:gold_ore"]
role = "transmission"
entity = false
pose = {front = "up"}
ends = {front = 1, back = -1, right = 1, left = 1, top = -1, bottom = 2}
rim = {kind = "near", teeth = 12}

[parts."minecraft:chest"]
role = "machine"
entity = ["minecraft:chest"]
pose = {facing = "facing"}
ends = {back = -1, bottom = 1}
torque = {stored = "keepPacked", scale = 2, default = 3}

[parts."minecraft:spawner"]
role = "mover"
entity = ["minecraft:mob_spawner"]
pose = {front = "up"}
ends = {front = 1, right = 1, bottom = -1}
rated_rpm = {stored = "MinSpawnDelay", scale = 0.1}
torque = 32
"""


def _check(key: str, what: str, expected: str) -> Check:
    return Check(SUBJECT, key, what, expected, JSONSCHEMA, why="valid or not")


META = _check(
    "SCHEMA1",
    f"the published schemas: {', '.join(SCHEMAS)}",
    "valid by the draft's own meta-schema",
)
DEMO = _check(
    "SCHEMA2",
    "audit and survey of the demo save as JSON, with and without hints, idle movers assumed active,"
    " a baseline and an overload ignored",
    "valid by the published schemas",
)
SPOILT = _check(
    "SCHEMA3",
    "these documents with a key taken away or added, or a value of another kind, wherever they have"
    " an object",
    "refused by the published schemas",
)
REAL = _check(
    "SCHEMA4",
    f"the survey of {len(SAVES)} real saves and of one with damaged chunks; the audit of"
    f" {len(AUDITED)} of them with a catalogue that takes ore for gears",
    "valid by the published schemas",
)
CATALOGUES = _check(
    "SCHEMA5",
    f"the demo's catalogue, a draft made from the demo save and {RECIPES} drawn catalogues, all of"
    " which the tool accepts",
    "valid by the published schema",
)


@cache
def _validator(name: str) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(json.loads(SCHEMAS[name].read_text("utf-8")))


def _printed(*arguments: object) -> Any:
    done = lineshaft(*arguments, "--no-config", "--format", "json", encoding="utf-8")
    assert done.status in (0, 1, 3), done.err
    return json.loads(done.out)


@checked(META)
@pytest.mark.parametrize("name", SCHEMAS)
def test_a_published_schema_is_a_schema(name: str) -> None:
    schema = json.loads(SCHEMAS[name].read_text("utf-8"))
    assert schema["$schema"] == DRAFT == jsonschema.Draft202012Validator.META_SCHEMA["$id"]
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.fixture(scope="module")
def former(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A report of the demo in which a finding is missing, as if it were of before."""
    path = tmp_path_factory.mktemp("former") / "report.json"
    document = _printed("audit", demo_save(), *CATALOGUE)
    document["findings"].pop()
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


@checked(DEMO)
@pytest.mark.parametrize(
    "more",
    [(), ("--hints", "--every-byte"), ("--assume-active",), ("--ignore", "overload"), "baseline"],
    ids=str,
)
def test_the_audit_of_the_demo_is_valid(more: Any, former: Path) -> None:
    options = ("--baseline", former) if more == "baseline" else more
    document = _printed("audit", demo_save(), *CATALOGUE, *options)
    _validator("audit").validate(document)
    assert document["findings"]
    assert document["unread"]


@checked(DEMO)
@pytest.mark.parametrize("more", [(), CATALOGUE], ids=["unknown", "known"])
def test_the_survey_of_the_demo_is_valid(more: tuple[str, ...]) -> None:
    document = _printed("survey", demo_save(), *more)
    _validator("survey").validate(document)
    assert {entity["known"] for entity in document["entities"]} >= {bool(more)}


@checked(SPOILT)
@pytest.mark.parametrize("name", ["audit", "survey"])
def test_a_spoilt_document_is_refused(name: str) -> None:
    document = _printed(name, demo_save(), *CATALOGUE)
    validator = _validator(name)
    spoilt = 0
    for what in iter_spoilt(document):
        assert not validator.is_valid(document), what
        spoilt += 1
    assert validator.is_valid(document)
    assert spoilt > 50


@needs_worlds
@checked(REAL)
@pytest.mark.parametrize("save", SAVES)
def test_the_survey_of_a_real_save_is_valid(save: str) -> None:
    _validator("survey").validate(survey_document(save))


@needs_worlds
@checked(REAL)
def test_the_survey_of_a_damaged_region_is_valid() -> None:
    document = _printed("survey", WORLDS / DAMAGED)
    _validator("survey").validate(document)
    assert document["unread"]


@needs_worlds
@checked(REAL)
@pytest.mark.parametrize("save", AUDITED)
def test_the_audit_of_a_real_save_is_valid(save: str, tmp_path: Path) -> None:
    (tmp_path / "ores.toml").write_text(ORES, encoding="utf-8")
    document = _printed("audit", WORLDS / save, "--catalogue", tmp_path / "ores.toml")
    _validator("audit").validate(document)
    assert document["networks"] or document["unread"]


@checked(CATALOGUES)
@pytest.mark.parametrize("seed", range(RECIPES))
def test_a_drawn_catalogue_is_valid(seed: int) -> None:
    _hold_catalogue(make_recipe(random.Random(seed)).text)


@checked(CATALOGUES)
def test_the_demos_catalogue_is_valid() -> None:
    path = Path(analyzer.demo.__path__[0]) / "quayworks.toml"
    _hold_catalogue(path.read_text("utf-8"))


@checked(CATALOGUES)
def test_a_draft_is_valid_once_it_is_filled_in(tmp_path: Path) -> None:
    path = tmp_path / "draft.toml"
    assert lineshaft("survey", demo_save(), "--draft", path, "--allow-unread").status == 0
    draft = path.read_text("utf-8")
    with pytest.raises(jsonschema.ValidationError):
        _validator("catalogue").validate(tomllib.loads(draft))
    filled = draft.replace('role = ""', 'role = "transmission"').replace(
        'licence = ""', 'licence = "MIT"'
    )
    _hold_catalogue(filled)


def _hold_catalogue(text: str) -> None:
    assert load_catalogue_text(text, "drawn").types
    _validator("catalogue").validate(tomllib.loads(text))
