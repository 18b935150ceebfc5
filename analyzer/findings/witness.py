"""Witnesses: chains of parts as positions, with the ratio of every step."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from analyzer.couplings.couplings import Couplings
from analyzer.findings.case import Case
from analyzer.findings.chain import Chain
from analyzer.findings.findings import Witness


def witness_of(case: Case, chain: Chain) -> Witness:
    """Return the chain as positions and ratios.

    Steps through governed ports are numbered as `analyzer.findings.clashes` says.
    """
    # A path has one coupling fewer than parts; a loop's last coupling leads from its last part.
    steps = zip(chain.parts, chain.couplings, strict=False)
    ratios = tuple(ratio_from(case.couplings, part, coupling) for part, coupling in steps)
    return Witness(
        kind=chain.kind,
        parts=tuple(case.parts.block_at(part) for part in chain.parts),
        ratios=ratios,
        product=_product(ratios),
        shortest=chain.shortest,
        governed=tuple(
            number for number, step in enumerate(chain.couplings) if step >= len(case.couplings)
        ),
    )


def ratio_from(couplings: Couplings, part: int, step: int) -> Fraction:
    """Return the speed of the next part per speed of this one.

    Parameters
    ----------
    couplings
        The couplings.
    part
        Row of the part that the step leads from.
    step
        Number of the coupling, or of a step through a governed port.
    """
    row = step - len(couplings)
    if row < 0:
        ratio, start = couplings.ratios[int(couplings.ratio[step])], couplings.a[step]
    else:
        governed = couplings.governed
        ratio, start = couplings.ratios[int(governed.ratio[row])], governed.part[row]
    return ratio if start == part else 1 / ratio


def _product(ratios: Sequence[Fraction]) -> Fraction:
    # By halves, so that the numbers stay short until late in a long chain.
    if len(ratios) == 1:
        return ratios[0]
    middle = len(ratios) // 2
    return _product(ratios[:middle]) * _product(ratios[middle:])
