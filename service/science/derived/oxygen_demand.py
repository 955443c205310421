"""The oxygen that the life in a bottle used up, under the name that it has earned."""

from math import inf

from service.science.derived.value import Derived
from service.science.oxygen_demand import (
    LEAST_DROP_MG_PER_L,
    LEAST_LEFT_MG_PER_L,
    METHOD,
    demand_or_limit,
    is_five_days_at_20_degrees,
)
from service.science.qa.wording import number_words
from service.science.types import Censoring, Visit

NOT_FIVE_DAYS = "not 5 days at 20 °C, so a drop of oxygen and no oxygen demand"
TOO_SMALL = f"a drop below {number_words(LEAST_DROP_MG_PER_L)} mg/L is too small to tell"
USED_UP = f"less than {number_words(LEAST_LEFT_MG_PER_L)} mg/L was left, so more may have been wanted"
DOUBT_UNKNOWN = "the doubt of the oxygen test is not known"


def demand_of_bottles(visit: Visit) -> Derived | None:
    """Return the oxygen that the sample of the visit's bottles used up.

    Parameters
    ----------
    visit : Visit
        With ``bottles``.

    Returns
    -------
    Derived or None
        Oxygen [mg/L]: as ``oxygen_demand_5day`` only after 120 h, give or take 6, at 20 degC, give or take 1,
        with a drop of 2.0 mg/L or more and 1.0 mg/L or more left; else as ``oxygen_drop``, with the reason.

    Raises
    ------
    ValueError
        The bottles are none, see :func:`service.science.oxygen_demand.demand_or_limit`.

    Reference
    ---------
    Standard Methods 5210 B, see ``oxygen_demand.py``.
    """
    bottles = visit.bottles
    if bottles is None:
        return None
    demand, censored = demand_or_limit(bottles)
    reasons = [] if is_five_days_at_20_degrees(bottles) else [NOT_FIVE_DAYS]
    if censored is not None:
        reasons.append(TOO_SMALL if censored is Censoring.BELOW else USED_UP)
    return Derived(
        parameter="oxygen_drop" if reasons else "oxygen_demand_5day",
        value=demand,
        unit="mg/L",
        low=0.0 if censored is Censoring.BELOW else demand,
        high=inf if censored is Censoring.ABOVE else demand,
        censored=censored,
        method=METHOD,
        assumed=(*reasons, DOUBT_UNKNOWN),
    )
