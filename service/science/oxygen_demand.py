"""How much oxygen the life in a closed bottle uses up: a first bottle opened at once, a last one days later.

Only five days in the dark at 20 degC make the biochemical oxygen demand that criteria speak of. Anything else
is a drop of oxygen, and says so.

Reference
---------
Standard Methods for the Examination of Water and Wastewater, 5210 B: the 5-day test, here without seed.
"""

from service.science.bottles import Bottles
from service.science.types import Censoring
from service.science.valid_range import require_within

METHOD = "two-bottles"
LEAST_DROP_MG_PER_L = 2.0
LEAST_LEFT_MG_PER_L = 1.0
FIVE_DAYS_HOURS, HOURS_EITHER_WAY = 120.0, 6.0
STANDARD_C, DEGREES_EITHER_WAY = 20.0, 1.0


def oxygen_demand(first_mg_per_l: float, last_mg_per_l: float, sample_share: float = 1.0) -> float:
    """Return the oxygen that the undiluted sample used up.

    Parameters
    ----------
    first_mg_per_l, last_mg_per_l : float
        Dissolved oxygen of the bottle opened at once and of the one opened last [mg/L], 0 to 25.
    sample_share : float
        Share of the bottle that was sample [1], above 0 up to 1.

    Returns
    -------
    float
        Oxygen used up [mg/L]; below 0 when the last bottle holds more.

    Reference
    ---------
    As in the heading of this module.
    """
    require_within("oxygen of the first bottle", first_mg_per_l, 0.0, 25.0, "mg/L")
    require_within("oxygen of the last bottle", last_mg_per_l, 0.0, 25.0, "mg/L")
    if not 0 < sample_share <= 1:
        raise ValueError(f"a sample share of {sample_share:g} is none: it lies above 0 and up to 1")
    return (first_mg_per_l - last_mg_per_l) / sample_share


def demand_or_limit(bottles: Bottles) -> tuple[float, Censoring | None]:
    """Return the oxygen used up, or the limit that is all the bottles can tell.

    Parameters
    ----------
    bottles : Bottles
        As for :func:`oxygen_demand`.

    Returns
    -------
    float
        Oxygen used up [mg/L].
    Censoring or None
        ``<`` where it dropped by less than 2.0 mg/L, which is too little to tell; ``>`` where less than
        1.0 mg/L was left, as more may have been wanted than there was.

    Raises
    ------
    ValueError
        The first bottle held no more than is left in a spent one, or the last holds more than the first by
        as much as would be a drop.
    """
    first, last, share = bottles.first_mg_per_l, bottles.last_mg_per_l, bottles.sample_share
    demand = oxygen_demand(first, last, share)
    # 9.1 - 7.1 is 2 on paper and 1.9999999999999996 in binary fractions.
    drop = round(first - last, 9)
    if drop <= -LEAST_DROP_MG_PER_L:
        raise ValueError("the bottle opened last holds more oxygen than the first: were the two exchanged?")
    if first <= LEAST_LEFT_MG_PER_L:
        raise ValueError(
            f"the first bottle held {first:g} mg/L, which leaves nothing to use up: shake the sample with "
            "air, or dilute it, and begin again"
        )
    if last < LEAST_LEFT_MG_PER_L:
        return oxygen_demand(first, LEAST_LEFT_MG_PER_L, share), Censoring.ABOVE
    if drop < LEAST_DROP_MG_PER_L:
        return LEAST_DROP_MG_PER_L / share, Censoring.BELOW
    return demand, None


def is_five_days_at_20_degrees(bottles: Bottles) -> bool:
    """Return whether the bottles stood 5 days, give or take 6 h, at 20 degC, give or take 1 degC."""
    return (
        abs(bottles.hours - FIVE_DAYS_HOURS) <= HOURS_EITHER_WAY
        and abs(bottles.temperature_c - STANDARD_C) <= DEGREES_EITHER_WAY
    )
