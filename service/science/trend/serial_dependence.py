"""The seasonal Kendall test when one month of a year is like the next: covariances join the variance.

A missing month takes no part in any comparison and stands at the middle rank of its column: no year is
dropped for it. The estimate is itself rough, and worth something from ten years on.

Reference
---------
Hirsch & Slack 1984. A nonparametric trend test for seasonal data with serial dependence. Water Resources
Research 20(6):727-732, equations 5 and 14, as in its second author's own program (USGS, seen). Covariances:
Dietz & Killeen 1981, Journal of the American Statistical Association 76:169-174 (from memory).
"""

from dataclasses import dataclass

import numpy as np

from service.science.trend.mann_kendall import Numbers, pair_signs
from service.science.trend.seasonal_kendall import continuous_z, normal_p


@dataclass(frozen=True, slots=True)
class AdjustedTest:
    """Variance of the score with the covariances of the months, and the two-sided p that follows."""

    variance: float
    z: float
    p: float


def adjusted_for_dependence(table: Numbers, s: int) -> AdjustedTest | None:
    """Return the test of a score with the likeness of the months within a year taken into account.

    Parameters
    ----------
    table : array
        As for :func:`service.science.trend.seasonal_kendall.seasonal_kendall`.
    s : int
        The score of that test.

    Returns
    -------
    AdjustedTest or None
        ``None`` where the estimated variance is not above 0, as can happen with few years.
    """
    variance = float(np.sum(score_covariances(table)))
    if variance <= 0:
        return None
    z = continuous_z(s, variance)
    return AdjustedTest(variance, z, normal_p(z))


def score_covariances(table: Numbers) -> Numbers:
    """Return the estimated covariances of the scores of the months, their variances on the diagonal.

    Parameters
    ----------
    table : array
        As above.

    Returns
    -------
    array
        [K_gh + 4 sum of R_ig R_ih over years i - n (n_g + 1) (n_h + 1)] / 3 for months g and h: K sums the
        products of their signs over pairs of years, R are ranks with ties at their mean and missing values at
        (n_g + 1) / 2, n is the number of years and n_g that of month g.
    """
    signs = pair_signs(table)
    found = np.sum(~np.isnan(table), axis=0) + 1.0
    ranks = (found + signs.sum(axis=0)) / 2
    concordance = np.einsum("ijg,ijh->gh", signs, signs) / 2
    years = table.shape[0]
    covariances: Numbers = (concordance + 4 * ranks.T @ ranks - years * np.outer(found, found)) / 3
    return covariances
