"""The bands of a multimetric index, from the index of the reference visits themselves.

Reference
---------
Barbour, M.T., Gerritsen, J., Snyder, B.D. & Stribling, J.B. 1999. Rapid Bioassessment Protocols for Use in
Streams and Wadeable Rivers, 2nd ed., EPA 841-B-99-002, section 9.1.1, step 5 and Figure 9-8 (seen): the 25th
percentile of the reference visits is the threshold of the upper class, and what remains of the range below it
is cut in equal parts. That they are three, and their names, are our own choice.
"""

import math
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from service.science.scores.index import Band
from service.science.scores.metric_scoring import LOWEST_AND_HIGHEST, Scoring, quantiles

NAMES = ("comparable to reference", "slightly changed", "clearly changed", "strongly changed")
DECIMALS = {Scoring.QUARTILES: 0, Scoring.PERCENTILES: 0, Scoring.CONTINUOUS: 1}
# What the index moves by: sums of 1, 3 and 5 by two points, means by the decimal that is shown.
_STEPS = {Scoring.QUARTILES: Decimal(2), Scoring.PERCENTILES: Decimal(2), Scoring.CONTINUOUS: Decimal("0.1")}
_NOISE = 1e-6


def range_of(scoring: Scoring, number_of_metrics: int) -> tuple[Decimal, Decimal]:
    """Return the lowest and the highest that an index can be: sums for 1 to 5, a mean for 0 to 100."""
    lowest, highest = (Decimal(int(end)) for end in LOWEST_AND_HIGHEST[scoring])
    if scoring is Scoring.CONTINUOUS:
        return lowest, highest
    return lowest * number_of_metrics, highest * number_of_metrics


def reference_bands(reference: Sequence[float], scoring: Scoring, number_of_metrics: int) -> tuple[Band, ...]:
    """Return the bands, best first: like the reference, and three equal parts of the range below.

    Parameters
    ----------
    reference : sequence of float
        The index of each reference visit [points], rounded as it is shown.
    scoring : Scoring
        The way of scoring its metrics.
    number_of_metrics : int
        How many metrics it has, 1 or more.

    Returns
    -------
    tuple of Band

    Raises
    ------
    ValueError
        The reference visits differ so much that nothing below them is left to be divided.

    Reference
    ---------
    Barbour et al. 1999, section 9.1.1, as in the heading of this module.
    """
    lowest, highest = range_of(scoring, number_of_metrics)
    (threshold,) = quantiles(reference, [0.25])
    below = len(NAMES) - 1
    cuts = [float(lowest) + part * (threshold - float(lowest)) / below for part in range(below, -1, -1)]
    lowers = [_next_possible(cut, lowest, _STEPS[scoring]) for cut in cuts]
    if any(upper <= lower for upper, lower in pairwise(lowers)):
        raise ValueError(
            f"a quarter of the reference visits score {threshold:g} or less on a scale from {lowest}: they "
            "differ too much among themselves to tell another stretch from them"
        )
    unit = Decimal(1).scaleb(-DECIMALS[scoring])
    uppers = [highest, *(lower - unit for lower in lowers[:-1])]
    return tuple(Band(*band) for band in zip(NAMES, lowers, uppers, strict=True))


def _next_possible(cut: float, lowest: Decimal, step: Decimal) -> Decimal:
    """Return the smallest value of the index that is not below a cut."""
    return lowest + step * math.ceil((cut - float(lowest)) / float(step) - _NOISE)
