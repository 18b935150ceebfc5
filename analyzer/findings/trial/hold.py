"""Hold the trial: compare the speeds that a save recorded with what the catalogues say."""

from __future__ import annotations

from analyzer.couplings.couplings import Couplings
from analyzer.findings.trial.blame import blame, unexplained
from analyzer.findings.trial.missing import find_missing
from analyzer.findings.trial.pairs import observe_pairs, readings_of, tally_pairs
from analyzer.findings.trial.trial import Trial
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.solution.solution import Solution


def hold_trial(parts: Parts, couplings: Couplings, networks: Networks, solution: Solution) -> Trial:
    """Compare the recorded speeds of coupled and of neighbouring parts with the catalogues.

    Parameters
    ----------
    parts, couplings, networks, solution
        The output of each stage. A save that records no speed gives a trial without pairs.

    Returns
    -------
    Trial
        It depends on the recorded ratios of coupled pairs, and on which networks have a mover; not
        on rated speeds.

    Notes
    -----
    Equal pairs are compared once, exactly.
    """
    readings = readings_of(parts)
    pairs = observe_pairs(parts, couplings, readings)
    tallies = tally_pairs(parts, pairs)
    wrong = blame(parts.catalogues, pairs)
    in_step, missing = find_missing(parts, couplings, networks, solution, readings)
    odd = unexplained(tallies, wrong)
    suspects = sorted((*wrong, *missing, *odd), key=lambda one: (-one.pairs, one.entries))
    return Trial(
        recorded=len(parts.recorded.part),
        tallies=tallies,
        in_step=in_step,
        suspects=tuple(suspects),
    )
