"""Catalogue mismatch: the recorded speeds tell that the catalogue does not describe the save."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding

if TYPE_CHECKING:
    from analyzer.findings.trial.trial import Trial

NAME: Final = "catalogue-mismatch"


def find_catalogue_mismatch(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding where too few of enough pairs of parts turn as the catalogues say.

    It counts the pairs that do not, and names the types that explain them, each with the pairs
    that tell against it.
    """
    if not len(case.parts.recorded.part):
        return
    trial = case.trial
    if trial.describes is not False:
        return
    lacking = sum(suspect.pairs for suspect in trial.proven if suspect.joins)
    yield save_finding(
        NAME,
        level,
        count=trial.pairs - trial.agreed + lacking,
        names=[(name, _against(trial, name)) for name in trial.types],
    )


def _against(trial: Trial, name: str) -> int:
    """Return how many pairs tell against a type."""
    suspects = trial.proven or trial.suspects
    suspected = [suspect.pairs for suspect in suspects if name in suspect.types]
    if suspected:
        return sum(suspected)
    touched = [tally for tally in trial.tallies if name in (tally.type, tally.other)]
    return sum(tally.pairs - tally.agreed for tally in touched)
