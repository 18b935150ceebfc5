"""Every form that an audit can be printed in, from the command line."""

from __future__ import annotations

import csv
import io
import json

from analyzer.report.findings_csv import COLUMNS
from tests.support.command import lineshaft
from tests.support.demo import demo_save

OPTIONS = ("--catalogue", "quayworks", "--no-cache", "--allow-unread")


def test_the_findings_are_the_same_in_every_form() -> None:
    forms = {
        form: lineshaft("audit", demo_save(), *OPTIONS, "--format", form)
        for form in ("json", "csv", "sarif")
    }
    assert {done.status for done in forms.values()} == {1}
    fingerprints = [one["fingerprint"] for one in json.loads(forms["json"].out)["findings"]]
    table = csv.DictReader(io.StringIO(forms["csv"].out))
    assert table.fieldnames == list(COLUMNS)
    assert [row["fingerprint"] for row in table] == fingerprints
    (run,) = json.loads(forms["sarif"].out)["runs"]
    told = [list(one["partialFingerprints"].values()) for one in run["results"]]
    assert told == [[one] for one in fingerprints]
