"""Loading a configuration file."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType
from typing import Any

from analyzer.base.errors import CatalogueError, ConfigError
from analyzer.base.place import Block
from analyzer.base.policy import Level, Policy
from analyzer.catalogue.notes import Notes
from analyzer.catalogue.read import read_document, read_file
from analyzer.catalogue.structure import check_shape
from analyzer.findings.ignores import Ignore
from analyzer.pipeline.config import Config
from analyzer.pipeline.config_format import CONFIG, OFF


def load_config(path: Path) -> Config:
    """Load a configuration file.

    Parameters
    ----------
    path
        The file; catalogues that it names by path lie relative to its folder.

    Raises
    ------
    ConfigError
        With every mistake in it.
    """
    name = str(path)
    try:
        document, notes = read_document(read_file(path, name, "a configuration file"), name)
    except CatalogueError as error:
        raise ConfigError(error.mistakes) from error
    _write_days(document)
    check_shape(document, CONFIG, (), notes)
    _check_ignores(document.get("ignore"), notes)
    if notes.mistakes:
        raise ConfigError(notes.mistakes)
    return Config(
        catalogues=tuple(_catalogue(one, path.parent) for one in document.get("catalogues", ())),
        policy=_policy(document.get("limits", {}), document.get("levels", {})),
        fail_on=document.get("fail_on"),
        ignores=tuple(map(_ignore, document.get("ignore", ()))),
    )


def _write_days(document: dict[str, Any]) -> None:
    """Write days as text, so that an end can be given as a TOML date or in quotes."""
    ignores = document.get("ignore")
    for entry in ignores if isinstance(ignores, list) else ():
        until = entry.get("until") if isinstance(entry, dict) else None
        if isinstance(until, date) and not isinstance(until, datetime):
            entry["until"] = until.isoformat()


def _check_ignores(ignores: Any, notes: Notes) -> None:
    """Note what the shapes cannot say about ignores."""
    for index, entry in enumerate(ignores if isinstance(ignores, list) else ()):
        if not isinstance(entry, dict):
            continue
        path = ("ignore", index)
        if not {"rule", "network", "box"} & entry.keys() and notes.clean(path):
            notes.add(path, "it would ignore everything", "at least one of rule, network, box")
        if {"network", "dimension"} <= entry.keys():
            found = "found dimension together with network, whose id names it"
            notes.add((*path, "dimension"), found, "one of the two")
        if "until" in entry and notes.clean((*path, "until")) and _day(entry["until"]) is None:
            found = f"found {entry['until']}, which is no day of the calendar"
            notes.add((*path, "until"), found, "a day such as 2027-03-31")


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _catalogue(name: str, folder: Path) -> str:
    path = folder / name
    return str(path) if name.endswith(".toml") or path.is_file() else name


def _policy(limits: dict[str, Any], levels: dict[str, str]) -> Policy:
    return Policy(
        speed_limit_rpm=_exact(limits.get("speed_limit_rpm")),
        unequal_movers=limits.get("unequal_movers"),
        thin_headroom=_exact(limits.get("thin_headroom")),
        heavy_parts=limits.get("heavy_parts"),
        heavy_chunks=limits.get("heavy_chunks"),
        heavy_switches=limits.get("heavy_switches"),
        levels=MappingProxyType(
            {rule: Level[level.upper()] for rule, level in levels.items() if level != OFF}
        ),
        off=frozenset(rule for rule, level in levels.items() if level == OFF),
    )


def _exact(number: Any) -> Fraction | None:
    return None if number is None else Fraction(number)


def _ignore(entry: dict[str, Any]) -> Ignore:
    box = entry.get("box")
    return Ignore(
        reason=entry["reason"],
        rule=entry.get("rule"),
        network=entry.get("network"),
        box=None if box is None else (Block(*box[:3]), Block(*box[3:])),
        dimension=entry.get("dimension"),
        until=_day(entry["until"]) if "until" in entry else None,
    )
