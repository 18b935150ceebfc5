"""Whose fault it is: the fewest entries whose correction makes the recorded ratios agree.

Every ratio is a product of what the two ports have to say, so that one wrong number shows at every
type it meets. What is looked for is not the pairs that disagree but the entry they have in common.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias

from analyzer.base.frame import SIDES
from analyzer.catalogue.catalogue import Catalogues, Constant, Number, PartType, Port, Stored
from analyzer.findings.trial.claims import SENSES, SIZES, Claim, Key, number_of_port
from analyzer.findings.trial.pairs import Observation, Pairs, iter_by_claim
from analyzer.findings.trial.trial import FEW_PAIRS, Charge, Entry, Suspect, Tally
from analyzer.findings.trial.width import Span, simplest_between, telling_spans

#: Most entries that are corrected one after the other.
MOST_SUSPECTS: Final = 16
#: Most of what a correction makes agree that it may spoil elsewhere.
MOST_SPOILED: Final = Fraction(1, 10)

_Tested: TypeAlias = list[tuple[Claim, list[Observation]]]


@dataclass(frozen=True)
class _Guess:
    """A correction of one key, how many pairs more agree with it, and how many it touches."""

    key: Key
    times: Fraction
    gained: int
    touched: int

    @property
    def is_far_fetched(self) -> bool:
        """Whether it blames how the save records speeds, which is alike for most types."""
        return self.key.charge in ("unit", "about")


def blame(catalogues: Catalogues, pairs: Pairs) -> tuple[Suspect, ...]:
    """Return what explains the pairs that do not agree, that which explains most first.

    Where several corrections explain equally many, they are one suspect with several entries. Pairs
    that agree throughout give none, and neither do fewer than `FEW_PAIRS`.
    """
    tested = list(iter_by_claim(pairs))
    by_key: dict[Key, _Tested] = {}
    for claim, observations in tested:
        for key, _ in claim.factors:
            by_key.setdefault(key, []).append((claim, observations))
    corrections: dict[Key, Fraction] = {}
    suspects = []
    for _ in range(MOST_SUSPECTS):
        guesses = [
            guess
            for key, times in _iter_candidates(catalogues, tested, corrections)
            if (guess := _weigh(by_key[key], corrections, key, times)) is not None
        ]
        if not guesses:
            break
        best = max(guess.gained for guess in guesses)
        tied = [guess for guess in guesses if guess.gained == best]
        tied = [guess for guess in tied if not guess.is_far_fetched] or tied
        chosen = _one_a_key(catalogues, tied)
        corrections[chosen[0].key] = chosen[0].times
        suspects.append(
            Suspect(
                entries=tuple(sorted(_entry(catalogues, guess) for guess in chosen)),
                pairs=best,
                of=max(guess.touched for guess in chosen),
            )
        )
    return tuple(suspects)


def unexplained(tallies: Sequence[Tally], suspects: Sequence[Suspect]) -> tuple[Suspect, ...]:
    """Return the pairs of ports that do not agree though nothing of theirs is suspected."""
    named = {name for suspect in suspects for name in suspect.types}
    found = []
    for tally in tallies:
        if tally.differs and not {tally.type, tally.other} & named:
            entry = Entry(tally.type, "pair", port=str(tally.kind), other=tally.other)
            found.append(Suspect((entry,), tally.pairs - tally.agreed, tally.pairs))
    return tuple(found)


def _iter_candidates(
    catalogues: Catalogues, tested: _Tested, corrections: dict[Key, Fraction]
) -> Iterator[tuple[Key, Fraction]]:
    """Yield what could be wrong, and by how much, where a claim does not agree; each once."""
    candidates: set[tuple[Key, Fraction]] = set()
    for claim, observations in tested:
        spans = _missed_by(claim.times(corrections), observations)
        for key, exponent in claim.factors:
            if key not in corrections:
                tried = {_times(_says(catalogues, key), span, exponent) for span in spans}
                candidates |= {(key, times) for times in tried if _can_be(key.charge, times)}
    yield from sorted(candidates)


def _missed_by(times: Fraction, observations: list[Observation]) -> list[Span]:
    """Return by what factors the records differ from a claim."""
    missed: Counter[Span] = Counter()
    for one in observations:
        if not one.agrees(times):
            missed[one.over(one.says * times)] += one.count
    return telling_spans(missed)


def _times(says: Fraction, span: Span, exponent: int) -> Fraction:
    """Return the factor in a span that corrects a number to the simplest other one."""
    ends = [says * end**exponent for end in span]
    return simplest_between(min(ends), max(ends)) / says


def _can_be(charge: Charge, times: Fraction) -> bool:
    if charge in SENSES:
        return times == -1
    return times > 0 or charge not in SIZES


def _weigh(
    concerned: _Tested, corrections: dict[Key, Fraction], key: Key, times: Fraction
) -> _Guess | None:
    """Return how much a correction explains, or None where it is too little or spoils too much."""
    touched = gained = spoiled = 0
    for claim, observations in concerned:
        before = claim.times(corrections)
        after = claim.times({**corrections, key: times})
        for one in observations:
            change = one.agrees(after) - one.agrees(before)
            touched += one.count
            gained += one.count * (change > 0)
            spoiled += one.count * (change < 0)
    if gained - spoiled < FEW_PAIRS or spoiled > MOST_SPOILED * gained:
        return None
    return _Guess(key, times, gained - spoiled, touched)


def _one_a_key(catalogues: Catalogues, guesses: list[_Guess]) -> list[_Guess]:
    """Return for each key the correction to the simplest number, by key."""

    def simplicity(guess: _Guess) -> tuple[Key, int, Fraction]:
        number = _says(catalogues, guess.key) * guess.times
        return guess.key, number.denominator + abs(number.numerator), number

    chosen: dict[Key, _Guess] = {}
    for guess in sorted(guesses, key=simplicity):
        chosen.setdefault(guess.key, guess)
    return list(chosen.values())


def _says(catalogues: Catalogues, key: Key) -> Fraction:
    """Return the catalogue's number; 1 where it gives none, or only how to read a stored one."""
    entry = catalogues.types[key.type]
    if key.charge == "ratio":
        return entry.meets[key.port].ratio or Fraction(1)
    return _value(_number(entry, key), key.value) or Fraction(1)


def _number(entry: PartType, key: Key) -> Number | None:
    match key.charge:
        case "factor":
            return number_of_port(entry, key.port)
        case "teeth":
            return number_of_port(entry, Port.RIM)
        case "diameter":
            return number_of_port(entry, Port.LINK)
        case _:
            return None


def _value(number: Number | None, where: str) -> Fraction | None:
    if number is None or isinstance(number, Stored):
        return None
    if isinstance(number, Constant):
        return number.value
    return next(value for name, value in number.values if f"{number.property}={name}" == where)


def _entry(catalogues: Catalogues, guess: _Guess) -> Entry:
    key = guess.key
    entry = catalogues.types[key.type]
    says = _says(catalogues, key)
    counts = key.charge not in SENSES
    offset = key.charge in ("ratio", "contact")
    return Entry(
        type=entry.block,
        charge=key.charge,
        port=SIDES[key.port] if key.charge == "factor" else "",
        at=entry.meets[key.port].at if offset else None,
        where=key.value,
        says=says if counts else None,
        fits=says * guess.times if counts else None,
    )
