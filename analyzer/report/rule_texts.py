"""What each rule means, why it matters and what to do: the texts of docs/findings.md, as data."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True)
class RuleText:
    """What is said of one rule, whatever it finds.

    Parameters
    ----------
    means, matters, remedy
        What a finding means, why it matters, and what to do about it; plain sentences.
    """

    means: str
    matters: str
    remedy: str


@cache
def rule_texts() -> Mapping[str, RuleText]:
    """Return the texts of every rule by its name."""
    text = files("analyzer.report").joinpath("rule_texts.toml").read_text("utf-8")
    return {name: RuleText(**texts) for name, texts in tomllib.loads(text).items()}
