"""One reading against one criterion: whether it meets it, and whether its kit can tell.

Equal to the limit meets it. A reading only known to lie beyond a limit is judged where that limit decides,
and left undecided where it does not; nothing is put in its place.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.science.ammonia import (
    COLDEST_C,
    CRITERION_HIGHEST_PH,
    CRITERION_LOWEST_PH,
    WARMEST_C,
    acute_criterion,
)
from service.science.criterion import Criterion
from service.science.types import Reading

Draws = NDArray[np.float64]

FORMULA_NEEDS = ("ph", "water_temperature")
# Each formula gives an upper limit and says whether it is the one for trout and salmon.
FORMULAS: Mapping[str, bool] = {
    "ammonia-acute-2013-salmonids": True,
    "ammonia-acute-2013-no-salmonids": False,
}


@dataclass(frozen=True, slots=True)
class Comparison:
    """A reading and what the criterion asks of it, all in the parameter's unit of storage.

    ``at_least`` and ``at_most`` are infinite where the criterion has no such limit. ``beside`` holds pH and
    water temperature where a formula gave the upper limit. ``meets`` is ``None`` where it cannot be decided;
    ``certain`` tells that the whole interval of the kit, or of the kits, says the same.
    """

    criterion: Criterion
    reading: Reading
    at_least: float
    at_most: float
    beside: tuple[Reading, ...]
    meets: bool | None
    certain: bool


def limit_by_formula(formula: str, ph: float, temperature_c: float) -> float:
    """Return the upper limit that a formula gives.

    Parameters
    ----------
    formula : str
        One of :data:`FORMULAS`.
    ph : float
        pH [std units], 6.5 to 9.
    temperature_c : float
        Water temperature [degC], 0 to 30.

    Returns
    -------
    float
        Upper limit [unit of storage of the criterion's parameter]; it falls with both.

    Raises
    ------
    ValueError
        Outside the range that the formula was made for.
    """
    return acute_criterion(ph, temperature_c, salmonids=FORMULAS[formula])


def compare(criterion: Criterion, reading: Reading, beside: tuple[Reading, ...] = ()) -> Comparison:
    """Return what comes of comparing a reading with a criterion.

    Parameters
    ----------
    criterion : Criterion
        Of the reading's parameter.
    reading : Reading
        The reading; below or above a limit it is met or missed only where that limit decides.
    beside : tuple of Reading
        pH and water temperature where the criterion has a formula, neither of them censored.

    Returns
    -------
    Comparison
        Undecided for a limit that does not decide.

    Raises
    ------
    ValueError
        pH or temperature lies outside the range of the formula.
    """
    at_least = -math.inf if criterion.at_least is None else criterion.at_least
    at_most = strictest = loosest = math.inf if criterion.at_most is None else criterion.at_most
    if criterion.formula is not None:
        ph, water = beside
        at_most = limit_by_formula(criterion.formula, ph.value, water.value)
        strictest = _limit_within(criterion.formula, ph.high, water.high)
        loosest = _limit_within(criterion.formula, ph.low, water.low)
    surely_met = at_least <= reading.low and reading.high <= strictest
    # What only touches a limit from beyond lies beyond: "<5" holds no 5, and of a kit's interval the end is
    # a point that is never drawn.
    surely_missed = reading.high <= at_least or loosest <= reading.low
    meets: bool | None = at_least <= reading.value <= at_most
    if reading.censored is not None:
        meets = True if surely_met else False if surely_missed else None
    certain = surely_met or surely_missed
    return Comparison(criterion, reading, at_least, at_most, beside, meets, certain)


def met_in_draws(comparison: Comparison, drawn: Callable[[Reading], Draws]) -> NDArray[np.bool_]:
    """Return in which draws the criterion is met.

    Parameters
    ----------
    comparison : Comparison
        Of a reading that is not censored.
    drawn : callable
        Gives the draws of a reading [unit of storage], the same ones each time.

    Returns
    -------
    array
        One truth value for each draw.
    """
    values = drawn(comparison.reading)
    formula = comparison.criterion.formula
    if formula is None:
        at_most: Draws = np.full(values.shape, comparison.at_most)
    else:
        ph, water = (drawn(reading) for reading in comparison.beside)
        at_most = np.array([_limit_within(formula, *pair) for pair in zip(ph, water, strict=True)])
    return (comparison.at_least <= values) & (values <= at_most)


def _limit_within(formula: str, ph: float, temperature_c: float) -> float:
    # An interval that crosses an end of the formula stops there.
    inside_ph = min(max(ph, CRITERION_LOWEST_PH), CRITERION_HIGHEST_PH)
    return limit_by_formula(formula, inside_ph, min(max(temperature_c, COLDEST_C), WARMEST_C))
