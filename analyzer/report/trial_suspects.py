"""What the records say against a catalogue's entry, in one sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Final

from analyzer.base.exact import exact_text
from analyzer.findings.trial.trial import Charge, Entry, Suspect
from analyzer.report.clean import shown


def suspect_text(suspect: Suspect) -> str:
    """Return what is suspected and on how many pairs that rests.

    >>> entry = Entry("quayworks:cog", "teeth", says=Fraction(12), fits=Fraction(15))
    >>> suspect_text(Suspect((entry,), 40, 41))
    'quayworks:cog: recorded speeds fit 15 teeth, the catalogue says 12 (40 of 41 pairs).'
    """
    texts = [entry_text(entry) for entry in suspect.entries]
    told = texts[0] if len(texts) == 1 else f"one of: {'; or '.join(texts)}"
    return f"{told} ({suspect.pairs:,} of {suspect.of:,} pairs)."


def entry_text(entry: Entry) -> str:
    """Return what is suspected of one entry, without a full stop."""
    where = f" where {shown(entry.where)}" if entry.where else ""
    return f"{shown(entry.type)}{where}: {_TEXTS[entry.charge](entry)}"


def _number(what: str) -> Callable[[Entry], str]:
    def text(entry: Entry) -> str:
        fits, says = _exact(entry.fits), _exact(entry.says)
        return f"recorded speeds fit {what} {fits}, the catalogue says {says}"

    return text


def _factor(entry: Entry) -> str:
    return _number(f"a factor of its {entry.port} end of")(entry)


def _teeth(entry: Entry) -> str:
    return (
        f"recorded speeds fit {_exact(entry.fits)} teeth, the catalogue says {_exact(entry.says)}"
    )


def _ratio(entry: Entry) -> str:
    return _number(f"at its own offset {_at(entry)} a ratio of")(entry)


def _contact(entry: Entry) -> str:
    return (
        f"at its own offset {_at(entry)} the teeth turn the other way: the cell of the contact is "
        "another"
    )


def _no_end(entry: Entry) -> str:
    return (
        f"it turns in step with ends that face its {entry.port} side, where the catalogue has no "
        f"end: one with the factor {_exact(entry.fits)} would fit"
    )


def _no_rim(entry: Entry) -> str:
    return (
        f"it turns in step with rims, and the catalogue gives it none: a {entry.port} one of "
        f"{_exact(entry.fits)} teeth would fit"
    )


def _no_placement(entry: Entry) -> str:
    return f"its rim turns in step with others placed {entry.port}, which the catalogue leaves out"


def _no_offset(entry: Entry) -> str:
    fits = "by their teeth" if entry.fits is None else f"at the ratio {_exact(entry.fits)}"
    return (
        f"it turns in step with {shown(entry.other)} at {_at(entry)} of its front, top and right, "
        f"{fits}, and nothing couples them"
    )


def _says(text: str) -> Callable[[Entry], str]:
    return lambda _entry: text


def _at(entry: Entry) -> str:
    return " ".join(map(str, entry.at or ()))


def _exact(value: Fraction | None) -> str:
    return "" if value is None else exact_text(value)


def _pair(entry: Entry) -> str:
    return (
        f"recorded speeds of its couplings with {shown(entry.other)} ({entry.port}) fit no single "
        "number"
    )


_TEXTS: Final[Mapping[Charge, Callable[[Entry], str]]] = {
    "factor": _factor,
    "teeth": _teeth,
    "diameter": _number("a diameter of"),
    "ratio": _ratio,
    "crossed": _says("recorded speeds fit the other kind of link, open or crossed"),
    "contact": _contact,
    "switch": _says("while it is on, recorded speeds fit the other sense at the port it flips"),
    "unit": _number("a unit of the recorded speed, times the catalogue's, of"),
    "about": _says("recorded speeds fit the other direction to count them about, front or axis"),
    "no-end": _no_end,
    "no-rim": _no_rim,
    "no-placement": _no_placement,
    "no-offset": _no_offset,
    "pair": _pair,
}
