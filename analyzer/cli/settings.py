"""What holds for a run: the configuration file, and the command line over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from analyzer.cli.options import Judging, Reading
from analyzer.cli.say import say

if TYPE_CHECKING:
    from analyzer.base.policy import Policy
    from analyzer.pipeline.config import Config


def settings_for(reading: Reading, judging: Judging | None = None) -> Config:
    """Return what holds for a run; what the command line says wins over the configuration file.

    Raises
    ------
    LineshaftError
        Where the configuration cannot be used.
    click.UsageError
        Where options contradict each other or name no rule.
    """
    config = _configured(reading)
    asked = judging or Judging()
    return replace(
        config,
        catalogues=reading.catalogues or config.catalogues,
        policy=_policy(config.policy, asked),
        fail_on=asked.fail_on or config.fail_on,
    )


def _configured(reading: Reading) -> Config:
    from analyzer.pipeline.config import Config
    from analyzer.pipeline.config_find import find_config

    if reading.no_config:
        if reading.config is not None:
            raise click.UsageError("--config and --no-config exclude each other.")
        return Config()
    path = reading.config or find_config(reading.save)
    if path is None:
        return Config()
    from analyzer.pipeline.config_load import load_config

    config = load_config(path)
    if not reading.quiet:
        say(f"settings from {path}")
    return config


def _policy(policy: Policy, asked: Judging) -> Policy:
    if not (asked.only or asked.ignored):
        return replace(policy, assume_active=asked.assume_active, hints=asked.hints)
    from analyzer.findings.registry import RULES
    from analyzer.findings.rules import nearly_coupled

    rules = [rule.name for rule in RULES]
    _check_rules((*asked.only, *asked.ignored), rules)
    # A rule that is asked for by name is judged, though the configuration puts it off.
    off = frozenset(rules) - frozenset(asked.only) if asked.only else policy.off
    return replace(
        policy,
        off=off | frozenset(asked.ignored),
        assume_active=asked.assume_active,
        hints=asked.hints or nearly_coupled.NAME in asked.only,
    )


def _check_rules(names: Sequence[str], rules: Sequence[str]) -> None:
    unknown = [name for name in dict.fromkeys(names) if name not in rules]
    if unknown:
        told = "\n".join(f"{name!r} is no rule{_near(name, rules)}" for name in unknown)
        raise click.UsageError(f"{told}\nThe rules are {', '.join(rules)}.")


def _near(name: str, rules: Sequence[str]) -> str:
    import difflib

    near = difflib.get_close_matches(name[:100], rules, n=3, cutoff=0.5)
    return f"; did you mean {' or '.join(near)}?" if near else "."
