"""What is said of a trial."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.couplings.couplings import Kind
from analyzer.findings.trial.trial import Entry, InStep, Suspect, Tally, Trial
from analyzer.report.trial_suspects import entry_text, suspect_text
from analyzer.report.trial_text import iter_trial_text

TEETH = Entry("quayworks:trundle_12", "teeth", says=Fraction(12), fits=Fraction(15))


def test_every_report_gives_the_table_the_suspects_and_the_verdict() -> None:
    tally = Tally(
        "quayworks:bull_gear_24",
        "rim",
        "quayworks:trundle_12",
        "rim",
        Kind.MESH,
        2,
        1,
        1200,
        Fraction(-2),
        Fraction(-8, 5),
    )
    beside = InStep("quayworks:a", "quayworks:b", (0, 1, 0), Fraction(1), 4)
    few = Suspect((Entry("quayworks:a", "no-offset", other="quayworks:b", at=(0, 1, 0)),), 4, 4)
    trial = Trial(90, (tally,), (beside,), (Suspect((TEETH,), 1201, 1203), few))
    assert (
        "".join(iter_trial_text(trial))
        == """\
The catalogue on trial
======================
90 parts with a recorded speed; 1,203 coupled pairs where neither is 0, of which
2 agree.

type                    by    agreed  sign differs  ratio differs  seen most
quayworks:bull_gear_24  mesh       2             1          1,200  -8/5, not -2
quayworks:trundle_12    mesh       2             1          1,200  -8/5, not -2

In step without a coupling
--------------------------
type         beside       at its front, top, right  ratio  pairs
quayworks:a  quayworks:b  0 1 0                         1      4

Suspected
---------
  quayworks:trundle_12: recorded speeds fit 15 teeth, the catalogue says 12
    (1,201 of 1,203 pairs).

Suspected, by fewer than 20 pairs or not by most
------------------------------------------------
  quayworks:a: it turns in step with quayworks:b at 0 1 0 of its front, top and
    right, by their teeth, and nothing couples them (4 of 4 pairs).

The catalogue does not describe this save: quayworks:trundle_12.
"""
    )


def test_a_trial_without_records_says_so() -> None:
    text = "".join(iter_trial_text(Trial(0, (), (), ())))
    assert "0 parts with a recorded speed" in text
    assert "Too little is recorded to tell" in text


def test_entries_that_cannot_be_told_apart_are_one_of_several() -> None:
    other = Entry("quayworks:x", "teeth", says=Fraction(24), fits=Fraction(20))
    assert suspect_text(Suspect((TEETH, other), 20, 20)) == (
        "one of: quayworks:trundle_12: recorded speeds fit 15 teeth, the catalogue says 12; or "
        "quayworks:x: recorded speeds fit 20 teeth, the catalogue says 24 (20 of 20 pairs)."
    )


ONE, TWO = Fraction(1), Fraction(2)


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        (
            Entry("a:b", "factor", "back", where="step=high", says=ONE, fits=TWO),
            "a:b where step=high: recorded speeds fit a factor of its back end of 2, the "
            "catalogue says 1",
        ),
        (
            Entry("a:b", "diameter", says=ONE, fits=TWO),
            "a:b: recorded speeds fit a diameter of 2, the catalogue says 1",
        ),
        (
            Entry("a:b", "ratio", at=(0, 1, 0), says=ONE, fits=-ONE),
            "a:b: recorded speeds fit at its own offset 0 1 0 a ratio of -1, the catalogue says 1",
        ),
        (
            Entry("a:b", "crossed"),
            "a:b: recorded speeds fit the other kind of link, open or crossed",
        ),
        (
            Entry("a:b", "no-end", "front", fits=TWO),
            "a:b: it turns in step with ends that face its front side, where the catalogue has no "
            "end: one with the factor 2 would fit",
        ),
        (
            Entry("a:b", "no-rim", "far", fits=Fraction(24)),
            "a:b: it turns in step with rims, and the catalogue gives it none: a far one of 24 "
            "teeth would fit",
        ),
        (
            Entry("a:b", "no-placement", "diagonal"),
            "a:b: its rim turns in step with others placed diagonal, which the catalogue leaves "
            "out",
        ),
        (
            Entry("a:b", "pair", "mesh", other="a:c"),
            "a:b: recorded speeds of its couplings with a:c (mesh) fit no single number",
        ),
    ],
)
def test_what_is_suspected_is_said_in_one_sentence(entry: Entry, says: str) -> None:
    assert entry_text(entry) == says


def test_names_from_a_catalogue_cannot_steer_a_terminal() -> None:
    assert "\x1b" not in entry_text(Entry("a:\x1b[31m", "crossed"))
