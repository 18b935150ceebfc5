"""The configuration: the user's standing decisions about one save."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from analyzer.base.policy import Policy
from analyzer.findings.ignores import Ignore

#: Lowest level of findings that makes an audit fail.
FailOn: TypeAlias = Literal["error", "warning", "note", "never"]


@dataclass(frozen=True)
class Config:
    """What a configuration file says; an empty file gives what holds without one.

    Parameters
    ----------
    catalogues
        Paths or names of catalogues; paths are as good as those on a command line.
    policy
        Limits, levels, and rules that are off.
    fail_on
        Lowest level of findings that makes an audit fail; None leaves it open.
    ignores
        What is accepted, in the order of the file.
    """

    catalogues: tuple[str, ...] = ()
    policy: Policy = field(default_factory=Policy)
    fail_on: FailOn | None = None
    ignores: tuple[Ignore, ...] = ()
