"""Which exact values a number of the catalogue may take, written or stored."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from analyzer.catalogue.catalogue import Field

#: Largest magnitude of any number, written in a catalogue or stored in a save.
LARGEST: Final = 10**9


class Bound(Enum):
    """What is asked of a number beyond its magnitude; the value is the noun clause for it."""

    ANY = "a number"
    NONZERO = "a number other than 0"
    POSITIVE = "a number above 0"
    NOT_NEGATIVE = "a number of at least 0"
    SHARE = "a number from 0 to 1"

    def holds(self, value: Fraction) -> bool:
        """Tell whether a number is within the bound and the largest magnitude.

        >>> Bound.POSITIVE.holds(Fraction(0)), Bound.NOT_NEGATIVE.holds(Fraction(0))
        (False, True)
        """
        if abs(value) > LARGEST:
            return False
        match self:
            case Bound.NONZERO:
                return value != 0
            case Bound.POSITIVE:
                return value > 0
            case Bound.NOT_NEGATIVE:
                return value >= 0
            case Bound.SHARE:
                return 0 <= value <= 1
            case Bound.ANY:
                return True


#: The bound of each number a part may have: an end of factor 0 would carry nothing, a rim
#: without teeth would mesh with nothing, a pulley without a rim would drive no belt, and a torque
#: is a magnitude.
FIELD_BOUNDS: Final[Mapping[Field, Bound]] = MappingProxyType(
    {
        **{Field(side): Bound.NONZERO for side in range(6)},
        Field.TEETH: Bound.POSITIVE,
        Field.RATED_RPM: Bound.ANY,
        Field.TORQUE: Bound.NOT_NEGATIVE,
        Field.ACTIVE: Bound.ANY,
        Field.LEAST_RPM: Bound.NOT_NEGATIVE,
        Field.DIAMETER: Bound.POSITIVE,
        Field.SWITCH: Bound.ANY,
        Field.SET_RPM: Bound.ANY,
        Field.RECORDED_RPM: Bound.ANY,
        Field.PARTNER: Bound.ANY,
    }
)
