"""How far couplings turn away from the potentials, as exact elements of a group."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analyzer.couplings.couplings import Couplings
from analyzer.networks.networks import Networks


class Twists:
    """The twists of some couplings, numbered so that a search can carry them along cheaply.

    A coupling's twist is its ratio over the one that the potentials of its two parts imply; a
    coupling that agrees has twist 1. The product of the ratios round a loop equals the product of
    the twists, so a loop is balanced just if its twists multiply to 1. A twist is kept as a sign
    and exponents over the basis of the ratios and stands for itself by a number; 1 has number 0.

    Parameters
    ----------
    couplings, networks
        The stages' outputs; their ratios and potentials are over one basis.
    disagreeing
        Numbers of the couplings that do not agree.
    """

    def __init__(
        self, couplings: Couplings, networks: Networks, disagreeing: Sequence[int]
    ) -> None:
        ratios, potentials = couplings.ratios, networks.potentials
        chosen = np.asarray(disagreeing, np.int64)
        ratio = couplings.ratio[chosen]
        a, b = (networks.potential[side[chosen]] for side in (couplings.a, couplings.b))
        minus = ratios.sign[ratio] * potentials.sign[a] * potentials.sign[b] < 0
        exponents = (
            ratios.exponents[ratio].astype(np.int64)
            + potentials.exponents[a]
            - potentials.exponents[b]
        )
        one = (False,) + (0,) * exponents.shape[1]
        self._elements: list[tuple[int, ...]] = [one]
        self._numbers: dict[tuple[int, ...], int] = {one: 0}
        self._products: dict[tuple[int, int], int] = {}
        #: Twist of each disagreeing coupling by number: along it from a to b, and back.
        self.along: dict[int, int] = {}
        self.back: dict[int, int] = {}
        rows = np.column_stack([minus.astype(np.int64), exponents]).tolist()
        for coupling, (sign, *powers) in zip(disagreeing, rows, strict=True):
            self.along[coupling] = self._number((sign, *powers))
            self.back[coupling] = self._number((sign, *(-power for power in powers)))

    def times(self, left: int, right: int) -> int:
        """Return the number of the product of two twists."""
        known = self._products.get((left, right))
        if known is None:
            one, other = self._elements[left], self._elements[right]
            sign = one[0] ^ other[0]
            powers = (p + q for p, q in zip(one[1:], other[1:], strict=True))
            known = self._products[left, right] = self._number((sign, *powers))
        return known

    def _number(self, element: tuple[int, ...]) -> int:
        number = self._numbers.setdefault(element, len(self._elements))
        if number == len(self._elements):
            self._elements.append(element)
        return number
