"""One metric of a multimetric index: how its scoring is frozen at the reference visits, and how it scores.

Metrics come as counts, percents and means; each becomes a number without unit that is high where the stretch
is like the reference. Three ways are in use, and each needs two numbers that never change again: ``best``,
a percentile of the reference visits, and ``worst``, the other end of what the metric can be.

Reference
---------
Barbour, M.T., Gerritsen, J., Snyder, B.D. & Stribling, J.B. 1999. Rapid Bioassessment Protocols for Use in
Streams and Wadeable Rivers, 2nd ed., EPA 841-B-99-002, section 9.1.1, step 4 and Figure 9-7 (seen): from the
95th percentile down the range is cut in three, or taken as a percentage; for metrics that rise with
disturbance the 5th percentile takes its place. The quartile form, in which 5 begins at the lower quartile of
the reference sites and the range below is cut in two: Barbour, M.T. et al. 1996. A framework for biological
criteria for Florida streams using benthic macroinvertebrates. J. N. Am. Benthol. Soc. 15(2):185-211 (from
memory). The protocol would rather take the percentile of all sites; ours is of the reference visits alone,
since a network's other sites are no sample of its streams (own choice).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

# Larger than the noise of binary fractions, far smaller than any real difference of a metric.
_NOISE = 1e-9


class Scoring(StrEnum):
    """How a metric is turned into a score: 5, 3, 1 by quartile or by percentile, or 0 to 100."""

    QUARTILES = "quartiles"
    PERCENTILES = "percentiles"
    CONTINUOUS = "continuous"


# The quantile of the reference visits that is ``best``, where the metric falls with disturbance, and rises.
BEST_AT = {
    Scoring.QUARTILES: (0.25, 0.75),
    Scoring.PERCENTILES: (0.95, 0.05),
    Scoring.CONTINUOUS: (0.95, 0.05),
}
# Fraction of the way from worst to best from which on a metric scores 3, and 5.
FRACTIONS = {Scoring.QUARTILES: (1 / 2, 1.0), Scoring.PERCENTILES: (1 / 3, 2 / 3)}
LOWEST_AND_HIGHEST = {
    Scoring.QUARTILES: (1.0, 5.0),
    Scoring.PERCENTILES: (1.0, 5.0),
    Scoring.CONTINUOUS: (0.0, 100.0),
}


@dataclass(frozen=True, slots=True)
class FrozenMetric:
    """A metric as it stands in one definition of a multimetric index; ``best`` and ``worst`` in its own unit.

    ``definition`` is the number of the metric's own definition, by which the reference visits were scored.
    """

    index: str
    definition: int
    rises_with_disturbance: bool
    scoring: Scoring
    best: float
    worst: float


def quantiles(values: Sequence[float], shares: Sequence[float]) -> list[float]:
    """Return quantiles of the type 7 of Hyndman and Fan: straight lines between the ordered values.

    It is the usual one of statistical software and never leaves the data, which matters where ten visits
    have to give a 95th percentile.

    Reference
    ---------
    Hyndman, R.J. & Fan, Y. 1996. Sample quantiles in statistical packages. American Statistician
    50(4):361-365 (from memory).
    """
    return [float(found) for found in np.quantile(np.asarray(values, dtype=np.float64), shares)]


def frozen_metric(
    index: str,
    definition: int,
    values: Sequence[float],
    *,
    rises_with_disturbance: bool,
    worst: float,
    scoring: Scoring,
) -> FrozenMetric:
    """Freeze the scoring of a metric at its values in the reference visits.

    Parameters
    ----------
    index, definition : str, int
        Which metric, by which definition of its own.
    values : sequence of float
        Its value in each reference visit [unit of the metric], at least 2.
    rises_with_disturbance : bool
        Whether disturbance makes it greater: of a tolerance index yes, of a number of kinds no.
    worst : float
        The worst it can be [unit of the metric], such as 0 kinds or 100 % of one kind.
    scoring : Scoring
        The way of scoring.

    Returns
    -------
    FrozenMetric

    Raises
    ------
    ValueError
        The metric cannot tell stretches apart; the message says why.

    Reference
    ---------
    Barbour et al. 1999, section 9.1.1, steps 2 and 4, as in the heading of this module.
    """
    if len(values) < 2 or min(values) == max(values):
        raise ValueError("is the same in every reference visit, so it tells no stretch from another")
    (best,) = quantiles(values, [BEST_AT[scoring][rises_with_disturbance]])
    if (worst - best if rises_with_disturbance else best - worst) <= _NOISE:
        raise ValueError(
            f"scores against {best:.4g}, which is no better than the worst it can be, {worst:.4g}: too many "
            "reference visits are as bad as can be"
        )
    return FrozenMetric(index, definition, rises_with_disturbance, scoring, best, worst)


def score_metric(metric: FrozenMetric, values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the scores of values of a metric, 1, 3 or 5, or 0 to 100; on a bound the better one.

    Parameters
    ----------
    metric : FrozenMetric
        The frozen metric.
    values : array
        Values [unit of the metric]; one that is not a number stays so.

    Returns
    -------
    array
        Scores, without unit; beyond ``best`` and ``worst`` they stay at the ends.
    """
    fraction = (values - metric.worst) / (metric.best - metric.worst)
    if metric.scoring is Scoring.CONTINUOUS:
        return 100.0 * np.clip(fraction, 0.0, 1.0)
    from_three, from_five = FRACTIONS[metric.scoring]
    steps = (fraction >= from_three - _NOISE).astype(np.float64) + (fraction >= from_five - _NOISE)
    return np.where(np.isnan(fraction), np.nan, 1.0 + 2.0 * steps)


def bounds_of(metric: FrozenMetric) -> tuple[float, float] | None:
    """Return the values from which on a metric scores 3 and 5 [its unit], ``None`` without such steps."""
    if metric.scoring is Scoring.CONTINUOUS:
        return None
    span = metric.best - metric.worst
    from_three, from_five = (metric.worst + part * span for part in FRACTIONS[metric.scoring])
    return from_three, from_five
