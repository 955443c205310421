"""One test of the CCME index: whether a value met its objective, and by how much it failed.

What is only known to lie beyond a limit is tested where the limit decides, and is no test where it does not.

Reference
---------
Canadian Council of Ministers of the Environment 2001, Canadian water quality guidelines for the protection of
aquatic life: CCME Water Quality Index 1.0, technical report (formula seen in a later paper). The rules for
limits and for a value of 0 are our own, as the method has none.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from service.science.censored_median import Interval
from service.science.criterion import Criterion


class Outcome(StrEnum):
    """What came of a test; ``UNDECIDED`` counts as none."""

    MET = "met"
    FAILED = "failed"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class Observation:
    """One value of one day and its objective, all in the parameter's unit of storage.

    ``says`` is twice the number that was read, or from the open side of its limit to the limit (0 to 4 for
    "<4", 60 to infinity for ">60"). ``may_be`` is the kit's interval around a number. ``step`` is the
    smallest step of the kit. ``objective`` has the limits of that day: those of a formula are worked out.
    """

    says: Interval
    may_be: Interval
    objective: Criterion
    step: float | None = None

    @property
    def is_number(self) -> bool:
        """Whether the value itself is known and not only a limit of it."""
        return self.says[0] == self.says[1]


@dataclass(frozen=True, slots=True)
class Judgement:
    """Outcome of a test and its excursion, 0 when met.

    ``at_least`` tells that only a lower bound of the excursion is known; ``half_step`` that half a step of
    the kit stood in for a value of 0, by which nothing can be divided.
    """

    outcome: Outcome
    excursion: float = 0.0
    at_least: bool = False
    half_step: bool = False


def judge(observation: Observation) -> Judgement:
    """Return what came of one test; a value that is equal to its objective meets it.

    Parameters
    ----------
    observation : Observation
        A value and its objective [unit of storage]. The limits of the objective are above 0.

    Returns
    -------
    Judgement
        The excursion [-] is value / objective - 1 above an upper limit, objective / value - 1 below a lower
        one.

    Raises
    ------
    ValueError
        A limit is not above 0: the index divides by it.

    Reference
    ---------
    CCME 2001, as in the heading of this module.
    """
    least, most = limits_of(observation.objective)
    lowest, highest = observation.says
    if least <= lowest and highest <= most:
        return Judgement(Outcome.MET)
    too_low, too_high = _surely_below(observation.says, least), _surely_above(observation.says, most)
    if not too_low and not too_high:
        return Judgement(Outcome.UNDECIDED)
    nearest = highest if too_low else lowest
    _, excursion = excursions(np.array([nearest]), [observation])
    by_zero = nearest <= 0.0
    return Judgement(
        Outcome.FAILED,
        float(excursion[0]),
        at_least=not observation.is_number or (by_zero and observation.step is None),
        half_step=by_zero and observation.step is not None,
    )


def excursions(
    values: NDArray[np.float64], observations: Iterable[Observation]
) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
    """Return which values fail their objectives, and by how much.

    Parameters
    ----------
    values : array
        One column for each observation [its unit of storage].
    observations : iterable of Observation
        Give objective and step. Below a lower limit a value of 0 or less stands as half the step; without a
        step its excursion is 0, which is the least that it can be.

    Returns
    -------
    tuple of arrays
        Failed or not, and the excursion [-], 0 where met; both in the shape of ``values``.
    """
    in_order = tuple(observations)
    least, most = np.array([limits_of(observation.objective) for observation in in_order]).T
    half_steps = np.array([(observation.step or math.inf) / 2 for observation in in_order])
    too_low, too_high = values < least, values > most
    divisors = np.where(values > 0.0, values, half_steps)
    missing = np.maximum(np.maximum(least, 0.0) / divisors - 1.0, 0.0)
    found = np.where(too_high, values / most - 1.0, np.where(too_low, missing, 0.0))
    return too_low | too_high, found


def limits_of(objective: Criterion) -> Interval:
    """Return the lower and upper limit of an objective, minus infinity and infinity where it has none.

    Raises
    ------
    ValueError
        A limit is not above 0: the index divides by it.
    """
    given = [limit for limit in (objective.at_least, objective.at_most) if limit is not None]
    if any(limit <= 0.0 for limit in given):
        raise ValueError(f"the objective {objective.code} has a limit that is not above 0")
    least, most = objective.at_least, objective.at_most
    return -math.inf if least is None else least, math.inf if most is None else most


def _surely_below(says: Interval, least: float) -> bool:
    # "<4" against "at least 4" lies below it, for the limit itself is left out.
    lowest, highest = says
    return highest < least or (highest == least and lowest < highest)


def _surely_above(says: Interval, most: float) -> bool:
    lowest, highest = says
    return lowest > most or (lowest == most and lowest < highest)
