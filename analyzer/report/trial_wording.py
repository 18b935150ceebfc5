"""Sentences about what the save itself recorded: speeds that the catalogue or the drive belie."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.clean import shown
from analyzer.report.quantities import amount, counted, listed
from analyzer.report.wording import MOST_NAMES, Wording, always, mend_the_cut, quantities


def _catalogue_mismatch(_: Audit, finding: Finding) -> str:
    types = {shown(name): count for name, count in finding.names}
    turn = "turns" if finding.count == 1 else "turn"
    return (
        f"The catalogue does not describe this save: {counted(finding.count, 'pair')} of parts "
        f"{turn} otherwise than it says, by the speeds that the save recorded. They tell against "
        f"{listed(types, most=MOST_NAMES)}."
    )


def _stale_record(_: Audit, finding: Finding) -> str:
    recorded, solved = (amount(value, finding.unit) for value in quantities(finding))
    if finding.count == 1:
        return f"A part is recorded at {recorded}; by what drives it, it turns at {solved}."
    return (
        f"The recorded speeds of {finding.count:,} parts are not those that their drive gives "
        f"them; the one furthest off is recorded at {recorded} and solved at {solved}."
    )


def _let_it_settle(audit: Audit, finding: Finding) -> str:
    if finding.certain != "yes":
        return mend_the_cut(audit, finding)
    return (
        "Go there in the game, so that it computes the speeds anew, and save; if they stay, have "
        "the catalogue tried: lineshaft catalogue check FILE --against SAVE."
    )


TRIALS: Final[Mapping[str, Wording]] = {
    "catalogue-mismatch": Wording(
        _catalogue_mismatch,
        always(
            "See which of their entries do not fit with lineshaft catalogue check FILE --against "
            "SAVE, and correct those before relying on any other finding."
        ),
    ),
    "stale-record": Wording(_stale_record, _let_it_settle),
}
