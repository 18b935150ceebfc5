"""What a configuration says, and every mistake in one at once."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from analyzer.base.errors import ConfigError
from analyzer.base.place import Block
from analyzer.base.policy import Level, Policy
from analyzer.findings.ignores import Ignore
from analyzer.pipeline.config import Config
from analyzer.pipeline.config_load import load_config


def loaded(folder: Path, text: str) -> Config:
    path = folder / "yard.toml"
    path.write_text(text, "utf-8")
    return load_config(path)


def mistakes(folder: Path, text: str) -> list[tuple[int, str, str, str]]:
    with pytest.raises(ConfigError) as caught:
        loaded(folder, text)
    assert {one.file for one in caught.value.mistakes} == {str(folder / "yard.toml")}
    return [(one.line, one.key, one.found, one.expected) for one in caught.value.mistakes]


def test_an_empty_file_changes_nothing(tmp_path: Path) -> None:
    assert loaded(tmp_path, "") == Config()


def test_every_key_is_read_exactly(tmp_path: Path) -> None:
    config = loaded(
        tmp_path,
        """
        catalogues = ["quayworks"]
        fail_on = "never"
        [limits]
        speed_limit_rpm = 106.7
        unequal_movers = "conflict"
        thin_headroom = 0.2
        heavy_parts = 300
        heavy_chunks = 9
        heavy_switches = 4
        [levels]
        over-speed = "warning"
        overload = "off"
        """,
    )
    assert config == Config(
        catalogues=("quayworks",),
        policy=Policy(
            speed_limit_rpm=Fraction(1067, 10),
            unequal_movers="conflict",
            thin_headroom=Fraction(1, 5),
            heavy_parts=300,
            heavy_chunks=9,
            heavy_switches=4,
            levels={"over-speed": Level.WARNING},
            off=frozenset({"overload"}),
        ),
        fail_on="never",
    )


def test_ignores_are_read_in_their_order(tmp_path: Path) -> None:
    config = loaded(
        tmp_path,
        """
        [[ignore]]
        rule = "overload"
        network = "minecraft:overworld:3,64,-20"
        reason = "in repair"
        until = 2027-03-31
        [[ignore]]
        box = [9, 64, 0, -9, 70, 4]
        dimension = "quay:loft"
        reason = "a show piece"
        until = "2027-04-01"
        """,
    )
    assert config.ignores == (
        Ignore(
            reason="in repair",
            rule="overload",
            network="minecraft:overworld:3,64,-20",
            until=date(2027, 3, 31),
        ),
        Ignore(
            reason="a show piece",
            box=(Block(9, 64, 0), Block(-9, 70, 4)),
            dimension="quay:loft",
            until=date(2027, 4, 1),
        ),
    )


def test_paths_of_catalogues_start_from_the_files_folder(tmp_path: Path) -> None:
    (tmp_path / "ropes").touch()
    text = 'catalogues = ["quayworks", "parts/quay.toml", "ropes", "/far/away.toml"]'
    assert loaded(tmp_path, text).catalogues == (
        "quayworks",
        str(tmp_path / "parts" / "quay.toml"),
        str(tmp_path / "ropes"),
        "/far/away.toml",
    )


def test_every_mistake_is_named_at_once_with_line_key_and_what_was_expected(
    tmp_path: Path,
) -> None:
    found = mistakes(
        tmp_path,
        """catalogues = "quayworks"
fail_on = "warnings"
[limits]
speed_limit_rpm = 0
thin_headroom = 1.5
heavy_parts = 2.5
heavy_chunk = 3
[levels]
overlod = "error"
over-speed = "fatal"
[[ignore]]
rule = "overload"
[[ignore]]
reason = "everything"
[[ignore]]
reason = " "
network = "3,64,-20"
box = [1, 2, 3]
until = 2027-03-31T12:00:00
[[ignore]]
reason = "twice told"
network = "minecraft:overworld:3,64,-20"
dimension = "minecraft:overworld"
until = "2027-02-29"
""",
    )
    assert [(line, key, said) for line, key, said, _ in found] == [
        (1, "catalogues", 'found "quayworks"'),
        (2, "fail_on", 'found "warnings"; did you mean "warning"?'),
        (4, "limits.speed_limit_rpm", "found 0"),
        (5, "limits.thin_headroom", "found 1.5"),
        (6, "limits.heavy_parts", "found 2.5"),
        (7, "limits.heavy_chunk", 'unknown key; did you mean "heavy_chunks"?'),
        (9, "levels.overlod", 'unknown key; did you mean "overload"?'),
        (10, "levels.over-speed", 'found "fatal"'),
        (11, "ignore[0].reason", "the key is missing"),
        (13, "ignore[1]", "it would ignore everything"),
        (16, "ignore[2].reason", 'found " "'),
        (17, "ignore[2].network", 'found "3,64,-20"'),
        (18, "ignore[2].box", "found 3 items"),
        (18, "ignore[2].box", "found box together with network"),
        (19, "ignore[2].until", "found a date or time"),
        (23, "ignore[3].dimension", "found dimension together with network, whose id names it"),
        (24, "ignore[3].until", "found 2027-02-29, which is no day of the calendar"),
    ]
    assert all(expected for *_, expected in found)
    by_key = {key: expected for _, key, _, expected in found}
    assert by_key["limits.thin_headroom"] == "a number from 0 to 1"
    assert by_key["levels.over-speed"] == "one of error, warning, note, off"


@pytest.mark.parametrize("text", ["ignore = 3", "ignore = [3]", "limits = []", "levels = 1"])
def test_no_shape_of_file_is_a_fault_of_the_program(tmp_path: Path, text: str) -> None:
    assert len(mistakes(tmp_path, text)) == 1


def test_what_is_no_toml_is_one_mistake_with_its_line(tmp_path: Path) -> None:
    ((line, key, found, expected),) = mistakes(tmp_path, "fail_on = \n")
    assert (line, key, expected) == (1, "", "a TOML document")
    assert found.startswith("not valid TOML")


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(ConfigError, match="no such file; expected a configuration file"):
        load_config(tmp_path / "none.toml")
    with pytest.raises(ConfigError, match="found a folder"):
        load_config(tmp_path)
