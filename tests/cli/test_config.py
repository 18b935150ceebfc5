"""Settings from a file beside the save, and the command line over them."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest

from tests.support.command import Done, lineshaft
from tests.support.saves import save_of
from tests.support.schemas import check_document
from tests.support.sketch import sketch

QUAYWORKS = ("--catalogue", "quayworks")
OVERLOADED = "wheel:e lathe:x lathe:x lathe:x lathe:x lathe:x"
NETWORK = "minecraft:overworld:2,64,2"


@pytest.fixture
def save(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An overloaded hall, in the folder ``save`` of the working directory."""
    save_of(tmp_path, sketch(OVERLOADED))
    monkeypatch.chdir(tmp_path)
    return Path("save")


def configure(text: str, path: str = "lineshaft.toml") -> None:
    Path(path).write_text(text, "utf-8")


def audited(save: Path, *options: object) -> tuple[Done, Any]:
    done = lineshaft("audit", save, "--format", "json", *options)
    return done, check_document(done.out, "audit")


def levels(document: Any) -> dict[str, str]:
    return {finding["rule"]: finding["level"] for finding in document["findings"]}


def test_the_file_beside_the_save_is_used_and_said_so(save: Path) -> None:
    configure('catalogues = ["quayworks"]')
    done, document = audited(save)
    assert (done.status, done.err) == (1, "settings from lineshaft.toml\n")
    assert levels(document)["overload"] == "error"
    assert lineshaft("audit", save, "--quiet").err == ""


def test_every_command_that_reads_a_save_uses_its_catalogues(save: Path) -> None:
    configure('catalogues = ["quayworks"]')
    assert len(lineshaft("parts", save).out.splitlines()) == 7
    assert "minecraft:overworld: 1 network" in lineshaft("networks", save).out
    assert "catalogues know 6 of them" in lineshaft("survey", save).out


def test_a_file_inside_the_save_is_never_looked_for(save: Path) -> None:
    configure('catalogues = ["quayworks"]', "save/lineshaft.toml")
    configure("[levels]\nnonsense = 1\n", "save/region/lineshaft.toml")
    for place in (save, save / "region"):
        done = lineshaft("audit", place)
        assert (done.status, done.err) == (0, "")
        assert "no-catalogue" in done.out


def test_another_file_can_be_named_even_one_inside_the_save(save: Path) -> None:
    configure("fail_on = 3")
    configure('catalogues = ["quayworks"]', "save/mine.toml")
    done = lineshaft("audit", save, "--config", "save/mine.toml")
    assert (done.status, done.err) == (1, "settings from save/mine.toml\n")


def test_no_config_takes_none(save: Path) -> None:
    configure("fail_on = 3")
    assert lineshaft("audit", save).status == 2
    done = lineshaft("audit", save, "--no-config", *QUAYWORKS)
    assert (done.status, done.err) == (1, "")
    both = lineshaft("audit", save, "--no-config", "--config", "lineshaft.toml")
    assert (both.status, both.out) == (2, "")
    assert "exclude each other" in both.err


def test_every_mistake_ends_with_2_and_nothing_on_standard_output(save: Path) -> None:
    configure('fail_on = "sometimes"\n[levels]\noverlode = "off"\n')
    done = lineshaft("audit", save)
    assert (done.status, done.out) == (2, "")
    assert 'lineshaft.toml:1: fail_on: found "sometimes"' in done.err
    assert 'lineshaft.toml:3: levels.overlode: unknown key; did you mean "overload"?' in done.err
    assert lineshaft("audit", save, "--config", "none.toml").status == 2


def test_levels_and_limits_hold(save: Path) -> None:
    configure(
        'catalogues = ["quayworks"]\n[limits]\nspeed_limit_rpm = 7\n[levels]\noverload = "note"\n'
    )
    done, document = audited(save)
    assert done.status == 1
    assert levels(document)["overload"] == "note"
    assert levels(document)["over-speed"] == "error"
    (fast,) = [one for one in document["findings"] if one["rule"] == "over-speed"]
    assert (fast["measured"], fast["limit"]) == (8, 7)


def test_a_rule_that_is_off_is_not_judged_and_the_report_says_so(save: Path) -> None:
    configure('catalogues = ["quayworks"]\n[levels]\noverload = "off"\n')
    done, document = audited(save)
    assert done.status == 0
    assert "overload" not in levels(document)
    assert document["policy"]["off"] == ["overload"]
    assert "not judged  overload\n" in lineshaft("audit", save).out


def test_what_the_command_line_says_wins(save: Path) -> None:
    configure('catalogues = ["none.toml"]\nfail_on = "never"\n[levels]\noverload = "off"\n')
    assert lineshaft("audit", save).status == 2
    assert lineshaft("audit", save, *QUAYWORKS).status == 0
    done, document = audited(save, *QUAYWORKS, "--only", "overload", "--fail-on", "warning")
    assert done.status == 1
    assert levels(document) == {"overload": "error"}


def test_fail_on_holds_unless_the_command_line_names_another(save: Path) -> None:
    configure('catalogues = ["quayworks"]\nfail_on = "never"')
    assert lineshaft("audit", save).status == 0
    assert lineshaft("audit", save, "--fail-on", "error").status == 1


def test_a_catalogue_lies_relative_to_the_file(save: Path, tmp_path: Path) -> None:
    (tmp_path / "yard").mkdir()
    catalogue = Path(__file__).parents[2] / "analyzer" / "demo" / "quayworks.toml"
    (tmp_path / "yard" / "parts.toml").write_bytes(catalogue.read_bytes())
    configure('catalogues = ["parts.toml"]', "yard/lineshaft.toml")
    done = lineshaft("audit", save, "--config", "yard/lineshaft.toml")
    assert done.status == 1
    assert "error: overload" in done.out


@pytest.mark.parametrize(
    "where",
    ['rule = "overload"', f'network = "{NETWORK}"', "box = [0, 60, 0, 2, 70, 2]"],
)
def test_an_ignored_finding_is_listed_with_its_reason_and_does_not_fail(
    save: Path, where: str
) -> None:
    configure(f'catalogues = ["quayworks"]\n[[ignore]]\n{where}\nreason = "rebuilt in spring"\n')
    done, document = audited(save, "--fail-on", "error")
    assert done.status == 0
    assert "overload" not in levels(document)
    (ignored,) = [one for one in document["ignored"] if one["rule"] == "overload"]
    assert (ignored["reason"], ignored["until"]) == ("rebuilt in spring", None)
    text = lineshaft("audit", save).out
    assert "\nIgnored: " in text
    assert "error: overload at 3 64 2 in minecraft:overworld: rebuilt in spring" in " ".join(
        text.split()
    )


def test_an_ignore_holds_until_its_last_day_and_then_the_report_says_that_it_ended(
    save: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    configure(
        'catalogues = ["quayworks"]\n[[ignore]]\nrule = "overload"\nreason = "rebuilt in spring"\n'
        "until = 2027-03-31\n"
    )

    class Calendar(datetime.date):
        day_now = 31

        @classmethod
        def today(cls) -> Calendar:
            return cls(2027, 3, 31) + datetime.timedelta(days=cls.day_now - 31)

    monkeypatch.setattr(datetime, "date", Calendar)
    done, document = audited(save)
    assert (done.status, document["lapsed"]) == (0, [])
    assert "(until 2027-03-31)" in " ".join(lineshaft("audit", save).out.split())
    monkeypatch.setattr(Calendar, "day_now", 32)
    done, document = audited(save)
    assert (done.status, document["ignored"]) == (1, [])
    assert document["lapsed"] == [
        {
            "rule": "overload",
            "network": None,
            "box": None,
            "dimension": None,
            "reason": "rebuilt in spring",
            "until": "2027-03-31",
        }
    ]
    text = lineshaft("audit", save).out
    assert "Ignored no longer" in text
    assert "until 2027-03-31: overload: rebuilt in spring" in text


def test_what_a_reason_holds_steers_no_terminal(save: Path) -> None:
    configure(
        'catalogues = ["quayworks"]\n[[ignore]]\nrule = "overload"\nreason = "a\u202eb"\n',
    )
    out = lineshaft("audit", save).out
    assert "a\\u202eb" in out
    assert "\u202e" not in out


def test_only_and_ignore_choose_rules(save: Path) -> None:
    _, document = audited(save, *QUAYWORKS, "--only", "overload", "--only", "over-speed")
    assert set(levels(document)) == {"overload"}
    done, document = audited(save, *QUAYWORKS, "--ignore", "overload")
    assert done.status == 0
    assert "overload" not in levels(document)
    _, document = audited(save, *QUAYWORKS, "--only", "overload", "--ignore", "overload")
    assert document["findings"] == []


def test_a_report_without_findings_says_what_was_left_out(save: Path) -> None:
    done = lineshaft("audit", save, *QUAYWORKS, "--only", "over-speed")
    assert "Nothing is wrong by the rules that were judged.\n" in done.out
    configure('[[ignore]]\nbox = [0, 60, 0, 9, 70, 9]\nreason = "a show piece"\n')
    done = lineshaft("audit", save, *QUAYWORKS)
    assert (done.status, "Nothing is wrong but what is ignored.\n" in done.out) == (0, True)


def test_hints_come_only_when_asked_for(tmp_path: Path) -> None:
    # The shaft's end meets the flat side of the next one.
    save = save_of(tmp_path, sketch("wheel:e shaft:x shaft:z"))
    _, document = audited(save, *QUAYWORKS)
    assert "nearly-coupled" not in levels(document)
    for options in (("--hints",), ("--only", "nearly-coupled")):
        _, document = audited(save, *QUAYWORKS, *options)
        assert "nearly-coupled" in levels(document)
        assert document["policy"]["hints"] is True


def test_an_unknown_rule_is_refused_with_near_ones(save: Path) -> None:
    for option in ("--only", "--ignore"):
        done = lineshaft("audit", save, *QUAYWORKS, option, "overlod", option, "zzz")
        assert (done.status, done.out) == (2, "")
        assert "'overlod' is no rule; did you mean overload" in done.err
        assert "'zzz' is no rule.\n" in done.err
        assert "The rules are " in done.err


def test_assumed_activity_is_told(save: Path) -> None:
    _, document = audited(save, *QUAYWORKS, "--assume-active")
    assert document["policy"]["assume_active"] is True
    text = lineshaft("audit", save, *QUAYWORKS, "--assume-active").out
    assert "assumed     every mover that is not active runs at its rating\n" in text


def test_assumed_activity_sets_an_inactive_mover_turning(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    save = save_of(tmp_path, sketch("tread:n,walkers=0\nshaft:z"))
    for command in ("networks", "parts"):
        out = lineshaft(command, save, *QUAYWORKS, "--format", "csv").out
        assert ",idle," in out
        out = lineshaft(command, save, *QUAYWORKS, "--format", "csv", "--assume-active").out
        assert ",turning," in out
    document = json.loads(
        lineshaft("audit", save, *QUAYWORKS, "--assume-active", "--format", "json").out
    )
    assert [one["state"] for one in document["networks"]] == ["turning"]
