"""The catalogue on trial: what the speeds that a save recorded say about the catalogue.

A catalogue is a hypothesis. Where two coupled parts both have a recorded speed, the ratio of the
two tests every number that the coupling's ratio rests on.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from analyzer.catalogue.catalogue import Cell
from analyzer.couplings.couplings import Kind

#: Pairs from which a judgement is made; fewer are shown and held against nobody.
ENOUGH_PAIRS: Final = 20
#: Pairs from which anything is said at all.
FEW_PAIRS: Final = 3
#: Share of pairs that has to agree.
LEAST_AGREEMENT: Final = Fraction(9, 10)

#: What of an entry is suspected. A number of the entry: the factor of an end, the teeth of the rim,
#: the diameter of the pulley, the ratio of an own offset. A sense: of the link (open or crossed),
#: of the contact of an own offset, of the switch. The unit or the direction of the recorded speed.
#: Something that is not there: an end, a placement of the rim, a rim, an own offset. Or a pair of
#: types whose recorded ratios fit no single number.
Charge: TypeAlias = Literal[
    "factor",
    "teeth",
    "diameter",
    "ratio",
    "crossed",
    "contact",
    "switch",
    "unit",
    "about",
    "no-end",
    "no-placement",
    "no-rim",
    "no-offset",
    "pair",
]


@dataclass(frozen=True, order=True)
class Entry:
    """Something in a catalogue that is suspected.

    Parameters
    ----------
    type
        Block name of the type.
    charge
        What of it.
    port
        The side, rim or link, or the placement, as the catalogue writes it; empty for none.
    other
        Block name of the type it couples with, where only pairs with that one are meant.
    at
        Where the other part lies in the type's own frame, for own offsets.
    where
        ``property=value`` for which alone a number is suspected; empty: wherever it stands.
    says, fits
        The number in the catalogue and the one that the records fit; None where there is none.
        For a number that is stored: how many times what is read would fit, and 1.
    """

    type: str
    charge: Charge
    port: str = ""
    other: str = ""
    at: Cell | None = None
    where: str = ""
    says: Fraction | None = None
    fits: Fraction | None = None


@dataclass(frozen=True)
class Suspect:
    """What explains recorded speeds that the catalogue does not.

    Parameters
    ----------
    entries
        One entry, or several of which the evidence cannot say which one it is; sorted.
    pairs
        Pairs that do not agree, or turn in step without a coupling, and that it explains.
    of
        All pairs that it has part in.
    joins
        Networks, by number and ascending, that would be one if the entry were not lacking.
    """

    entries: tuple[Entry, ...]
    pairs: int
    of: int
    joins: tuple[int, ...] = ()

    @property
    def proven(self) -> bool:
        """Whether there are enough pairs to say that the catalogue does not describe the save."""
        return self.of >= ENOUGH_PAIRS and self.of - self.pairs < LEAST_AGREEMENT * self.of

    @property
    def types(self) -> tuple[str, ...]:
        """Block names of the types that it names, sorted."""
        return tuple(sorted({name for e in self.entries for name in (e.type, e.other) if name}))


@dataclass(frozen=True, order=True)
class Tally:
    """Coupled pairs of two ports whose parts both have a recorded speed that is not 0.

    Parameters
    ----------
    type, port, other, other_port, kind
        The types, by block name, and ports that meet, the smaller first; `Kind` of the couplings.
    agreed, sign_differs, ratio_differs
        How many pairs agree, differ in the sense of turning alone, or differ in the ratio.
    says
        The catalogue's ratio, speed of the other per speed of the first, of the pairs counted
        under `seen`; of all, the one met most, where no ratio differs.
    seen
        The recorded ratio that was seen most where it differs; None where it never does.
    """

    type: str
    port: str
    other: str
    other_port: str
    kind: Kind
    agreed: int
    sign_differs: int
    ratio_differs: int
    says: Fraction
    seen: Fraction | None

    @property
    def pairs(self) -> int:
        """How many pairs there are."""
        return self.agreed + self.sign_differs + self.ratio_differs

    @property
    def differs(self) -> bool:
        """Whether there are enough pairs and too few of them agree."""
        return self.pairs >= ENOUGH_PAIRS and self.agreed < LEAST_AGREEMENT * self.pairs


@dataclass(frozen=True, order=True)
class InStep:
    """Neighbours that turn in step without a coupling, one of them without any mover.

    Parameters
    ----------
    type, other
        Block names of the two types.
    at
        Where the other lies in the first one's own frame.
    ratio
        Recorded speed of the other per that of the first; of wheels that cross, its magnitude.
    pairs
        How many such pairs turn at that ratio and have no other connection.
    """

    type: str
    other: str
    at: Cell
    ratio: Fraction
    pairs: int


@dataclass(frozen=True)
class Trial:
    """What the recorded speeds of a save say about the catalogues.

    Parameters
    ----------
    recorded
        Parts with a recorded speed, 0 included.
    tallies
        Coupled pairs by type and kind of coupling, sorted.
    in_step
        Neighbours that turn in step without a coupling, sorted.
    suspects
        What explains the disagreements, that which explains most first.
    """

    recorded: int
    tallies: tuple[Tally, ...]
    in_step: tuple[InStep, ...]
    suspects: tuple[Suspect, ...]

    @property
    def pairs(self) -> int:
        """How many coupled pairs were compared."""
        return sum(tally.pairs for tally in self.tallies)

    @property
    def agreed(self) -> int:
        """How many of them agree."""
        return sum(tally.agreed for tally in self.tallies)

    @property
    def proven(self) -> tuple[Suspect, ...]:
        """The suspects with enough pairs against them."""
        return tuple(suspect for suspect in self.suspects if suspect.proven)

    @property
    def describes(self) -> bool | None:
        """Whether the catalogues describe the save; None where too little is recorded to tell."""
        if self.proven or any(tally.differs for tally in self.tallies):
            return False
        if self.pairs < ENOUGH_PAIRS:
            return None
        return self.agreed >= LEAST_AGREEMENT * self.pairs

    @property
    def types(self) -> tuple[str, ...]:
        """Block names of the types that do not describe the save, sorted; none where all do."""
        if self.describes is not False:
            return ()
        # Too few pairs to prove anything of one entry may together be enough.
        named = {name for one in self.proven or self.suspects for name in one.types}
        if not named:
            worst = [tally for tally in self.tallies if tally.differs] or [
                tally for tally in self.tallies if tally.agreed < tally.pairs
            ]
            named = {name for tally in worst for name in (tally.type, tally.other)}
        return tuple(sorted(named))
