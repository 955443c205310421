"""How good the readings are: how far duplicates lie apart, how a kit differs from a meter, what blanks show.

Reference
---------
Repeatability limit: ISO 5725-6:1994, 1.96 x sqrt(2) standard deviations (from memory). Limits of agreement:
Bland & Altman 1986, Lancet 327(8476):307-310 (from memory). Centre of the differences: Hodges & Lehmann 1963,
Annals of Mathematical Statistics 34(2):598-611 (from memory). Steps rather than percent for kits: common
practice, because one step at the bottom of a kit is a large percentage and on pH hardly any.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import sqrt
from statistics import NormalDist, mean, median, stdev

from service.science.kit_reading import is_same
from service.science.qa.comparison_scale import level_position
from service.science.types import Reading

_Pair = tuple[float, float]
_NORMAL_95 = NormalDist().inv_cdf(0.975)  # 1.959964
_LIMITS_OF_AGREEMENT = 1.96  # as printed by Bland & Altman
_DETECTION_SDS = 3.0


def rpd(first: float, second: float) -> float:
    """Return the relative percent difference of two readings of the same water.

    Parameters
    ----------
    first, second : float
        Uncensored readings [the same unit], 0 or more. Not for pH, nor near the bottom of a kit.

    Returns
    -------
    float
        Difference in percent of the mean of both [%], 0 to 200; 0 when both are 0.
    """
    if first < 0 or second < 0:
        raise ValueError(f"a relative difference needs values of 0 or more, not {first:g} and {second:g}")
    return 200 * abs(first - second) / (first + second) if first + second > 0 else 0.0


def pooled_sd(pairs: Sequence[_Pair]) -> float:
    """Return the standard deviation of one reading from pairs of duplicates.

    Parameters
    ----------
    pairs : sequence of (first, second)
        Uncensored duplicates [one unit], at least one pair.

    Returns
    -------
    float
        Root of the sum of squared differences over twice the number of pairs [the unit of the readings].
    """
    _require_pairs(pairs, 1)
    return sqrt(sum((first - second) ** 2 for first, second in pairs) / (2 * len(pairs)))


def pooled_relative_sd(pairs: Sequence[_Pair]) -> float:
    """Return the relative standard deviation of one reading from pairs of duplicates.

    Parameters
    ----------
    pairs : sequence of (first, second)
        Uncensored duplicates [one unit], 0 or more, at least one pair.

    Returns
    -------
    float
        Root of the mean square of the pairs' own relative standard deviations [%].
    """
    _require_pairs(pairs, 1)
    return sqrt(sum(rpd(first, second) ** 2 for first, second in pairs) / (2 * len(pairs)))


def repeatability_limit(sd: float) -> float:
    """Return the difference that two readings of the same water exceed in 5 of 100 cases.

    Parameters
    ----------
    sd : float
        Standard deviation of one reading, 0 or more.

    Returns
    -------
    float
        1.96 x sqrt(2) x ``sd`` [the unit of ``sd``].
    """
    if sd < 0:
        raise ValueError(f"a standard deviation is never below 0, as {sd:g} is")
    return _NORMAL_95 * sqrt(2) * sd


def agree_within_steps(first: Reading, second: Reading, steps: float = 1.0) -> bool:
    """Return whether two readings with one kit agree as well as the kit can tell.

    Parameters
    ----------
    first, second : Reading
        Readings of the same water with the same kit.
    steps : float
        Steps of the scale, or marks of the card, that they may lie apart.

    Returns
    -------
    bool
        With a "<" or ">" among them: whether their intervals overlap.
    """
    kit = first.kit
    if kit is None or second.kit != kit or first.kit_value is None or second.kit_value is None:
        raise ValueError("steps are compared between two readings with the same kit")
    if first.censored or second.censored:
        return first.low <= second.high and second.low <= first.high
    if kit.marks:
        apart = abs(level_position(first.kit_value, kit.marks) - level_position(second.kit_value, kit.marks))
    elif kit.step:
        apart = abs(first.kit_value - second.kit_value) / kit.step
    else:
        raise ValueError(f"kit {kit.code} has neither marks nor steps")
    return apart <= steps or is_same(apart, steps)


@dataclass(frozen=True, slots=True)
class SplitSampleBias:
    """Kit less reference over split samples, all [the unit of the readings] but ``mean_relative_percent``.

    ``lower_limit`` and ``upper_limit`` are the limits of agreement: 95 of 100 differences lie between them.
    """

    count: int
    mean: float
    sd: float
    lower_limit: float
    upper_limit: float
    median: float
    hodges_lehmann: float
    mean_relative_percent: float


def split_sample_bias(pairs: Sequence[_Pair]) -> SplitSampleBias:
    """Return how a kit differs from a reference over samples that were split between them.

    Parameters
    ----------
    pairs : sequence of (reference, kit)
        Uncensored readings of the same water [one unit], at least two pairs, reference above 0.

    Returns
    -------
    SplitSampleBias
        Mean, standard deviation (n - 1), mean -+ 1.96 standard deviations, median, median of all pairwise
        means, and the mean of the differences in percent of the reference.
    """
    _require_pairs(pairs, 2)
    if any(reference <= 0 for reference, _ in pairs):
        raise ValueError("a relative bias needs reference values above 0")
    differences = [kit - reference for reference, kit in pairs]
    bias, sd = mean(differences), stdev(differences)
    return SplitSampleBias(
        count=len(differences),
        mean=bias,
        sd=sd,
        lower_limit=bias - _LIMITS_OF_AGREEMENT * sd,
        upper_limit=bias + _LIMITS_OF_AGREEMENT * sd,
        median=median(differences),
        hodges_lehmann=median(sum(two) / 2 for two in combinations_with_replacement(differences, 2)),
        mean_relative_percent=100 * mean((kit - reference) / reference for reference, kit in pairs),
    )


@dataclass(frozen=True, slots=True)
class BlankFigures:
    """What blanks of one method show [the unit of the readings]; ``detection`` is mean + 3 ``sd``."""

    count: int
    mean: float
    sd: float
    detection: float


def blank_figures(blanks: Sequence[float]) -> BlankFigures:
    """Return the figures of blanks that were read as numbers, with a meter or a titrator.

    Parameters
    ----------
    blanks : sequence of float
        Readings of clean water [one unit], at least two. A colour kit has no spread at 0: do not ask it.

    Returns
    -------
    BlankFigures
        Mean, standard deviation (n - 1) and mean + 3 standard deviations.
    """
    if len(blanks) < 2:
        raise ValueError("figures of blanks need at least two blanks")
    average, sd = mean(blanks), stdev(blanks)
    return BlankFigures(len(blanks), average, sd, average + _DETECTION_SDS * sd)


def completeness(usable: int, planned: int) -> float:
    """Return how much of what was planned can be used.

    Parameters
    ----------
    usable : int
        Usable results, 0 or more; censored ones are usable.
    planned : int
        Planned results, at least 1.

    Returns
    -------
    float
        Usable in percent of planned [%]; more than 100 where more was done than planned.
    """
    if planned < 1 or usable < 0:
        raise ValueError(f"completeness needs something planned, not {usable} of {planned}")
    return 100 * usable / planned


def _require_pairs(pairs: Sequence[_Pair], least: int) -> None:
    if len(pairs) < least:
        raise ValueError(f"{least} or more pairs are needed, not {len(pairs)}")
