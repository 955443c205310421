"""One limit for all: what a rank test asks of values that are partly known only as below or above a limit.

With several limits "< 1" against "< 5" has no order. Everything below the highest lower limit then counts as
below it, and everything above the lowest upper limit as above it.

Reference
---------
Helsel 2012, Statistics for Censored Environmental Data Using Minitab and R, 2nd edition: censor all at the
highest limit before a rank test (from memory).
"""

from dataclasses import dataclass

import numpy as np

from service.science.trend.mann_kendall import Numbers


@dataclass(frozen=True, slots=True)
class OneLimit:
    """Values in an order: ``places`` for rank tests, ``lows`` and ``highs`` to measure changes with.

    ``places`` is minus infinity below ``lower_limit`` and infinity above ``upper_limit``; limits are ``None``
    where no value needs one. ``changed`` counts the values that say less than before.
    """

    places: Numbers
    lows: Numbers
    highs: Numbers
    lower_limit: float | None
    upper_limit: float | None
    changed: int


def cut_at_one_limit(lows: Numbers, highs: Numbers) -> OneLimit | None:
    """Bring values to one lower and one upper limit at most.

    Parameters
    ----------
    lows, highs : array
        Bounds of each value [any one unit]: equal for a number, ``highs`` infinite for "above", otherwise
        "below ``highs``"; NaN where there is no value. Never open on both sides.

    Returns
    -------
    OneLimit or None
        ``None`` where the lower limit lies above the upper one, so that nothing can be put in order.
    """
    number, open_above = lows == highs, np.isinf(highs)
    open_below = (lows < highs) & ~open_above
    lower = float(np.max(highs[open_below], initial=-np.inf))
    upper = float(np.min(lows[open_above], initial=np.inf))
    if lower > upper:
        return None
    below, above = open_below | (number & (lows < lower)), open_above | (number & (lows > upper))
    changed = (below & (number | (highs < lower))) | (above & (number | (lows > upper)))
    floor = float(np.min(lows[open_below], initial=np.inf))
    return OneLimit(
        places=np.where(below, -np.inf, np.where(above, np.inf, lows)),
        lows=np.where(below, floor, np.where(above, upper, lows)),
        highs=np.where(below, lower, np.where(above, np.inf, highs)),
        lower_limit=None if np.isinf(lower) else lower,
        upper_limit=None if np.isinf(upper) else upper,
        changed=int(np.sum(changed)),
    )
