"""Do the two ways of telling oxygen agree: the percent that a meter shows, and the mg/L of the same visit?

A meter that knows neither the elevation nor the air pressure of the place shows the percent of sea level.
"""

import math
from collections.abc import Iterable
from dataclasses import replace

from service.science.derived.oxygen_saturation import oxygen_saturation_of
from service.science.derived.site_pressure import ASSUMED_SEA_LEVEL
from service.science.derived.value import Derived
from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, rounded_words, written_words
from service.science.types import Censoring, Evidence, Finding, Reading, Visit

ADVICE_TEMPERATURE = "Next time take the water temperature at the same place and send it with the visit."
ADVICE_ELEVATION = "Ask your coordinator to enter the elevation of the site."


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare the reported percent of saturation with the one worked out from the mg/L.

    Parameters
    ----------
    reading : percent of saturation as reported [%] with its bounds
    visit : gives dissolved oxygen in mg/L, water temperature, the pressure or the site's elevation
    limits : ``points_apart`` [%], by how much they may differ; ``sea_level_match`` [%], how near the
        reported one must be to the percent of sea level to be taken for it

    Returns
    -------
    Finding or None
        3 when the two are too far apart and all that their kits leave open is apart too; of several mg/L the
        nearest counts. 2 where one of the things it needs is not there; else 1.
    """
    oxygens = [other for other in visit.readings if other.parameter == "dissolved_oxygen"]
    if not oxygens:
        return None
    temperature = visit.beside(reading, "water_temperature")
    if temperature is None:
        message = "Not compared with the mg/L: that needs a water temperature, and this visit has none."
        return Finding(Flag.NOT_EVALUATED, message, advice=ADVICE_TEMPERATURE)
    computed = _computed(oxygens, visit)
    if not computed:
        message = "Not compared with the mg/L: the formula needs water of 0 to 40 °C and a site below 5000 m."
        return Finding(Flag.NOT_EVALUATED, message, {"temperature_c": temperature.value})
    oxygen, percent = min(computed, key=lambda pair: _gap(reading, pair[1]))
    # Height only raises the percentage: one that is too low at sea level is too low anywhere.
    too_low_anywhere = reading.high < percent.low - limits["points_apart"]
    if ASSUMED_SEA_LEVEL in percent.assumed and not too_low_anywhere:
        message = "Not compared with the mg/L: the elevation of the site is not known."
        return Finding(Flag.NOT_EVALUATED, message, advice=ADVICE_ELEVATION)
    evidence = _evidence(reading, oxygen, percent, visit, limits)
    if _gap(reading, percent) <= 0 or _distance(reading, percent) <= limits["points_apart"]:
        return Finding(Flag.PASS, evidence=evidence)
    source = f"{written_words(oxygen)} at {written_words(temperature)}"
    return _suspect(reading, source, percent, evidence, limits)


def _computed(oxygens: Iterable[Reading], visit: Visit) -> list[tuple[Reading, Derived]]:
    percents = [(oxygen, oxygen_saturation_of(oxygen, visit)) for oxygen in oxygens]
    return [(oxygen, percent) for oxygen, percent in percents if percent is not None]


def _gap(reported: Reading, computed: Derived) -> float:
    """Return how far apart the bounds lie [%]; negative where they overlap."""
    return max(reported.low - computed.high, computed.low - reported.high)


def _distance(reported: Reading, computed: Derived) -> float:
    """Return by how much the two differ [%]; where one is censored, by how much they certainly do."""
    if reported.censored is not None or computed.censored is not None:
        return _gap(reported, computed)
    return abs(reported.value - computed.value)


def _evidence(
    reported: Reading, oxygen: Reading, computed: Derived, visit: Visit, limits: Limits
) -> Evidence:
    without_pressure = tuple(row for row in visit.readings if row.parameter != "barometric_pressure")
    at_sea = replace(visit, site=replace(visit.site, elevation_m=0.0), readings=without_pressure)
    percent_at_sea = oxygen_saturation_of(oxygen, at_sea)
    apart = _distance(reported, computed)
    return {
        "reported_percent": reported.value,
        "computed_percent": None if computed.censored else round(computed.value, 2),
        "computed_percent_from": round(computed.low, 2),
        "computed_percent_to": None if math.isinf(computed.high) else round(computed.high, 2),
        "computed_percent_at_0_m": None if percent_at_sea is None else round(percent_at_sea.value, 2),
        "points_apart": None if math.isinf(apart) else round(apart, 2),
        "points_apart_limit": limits["points_apart"],
        "oxygen_mg_per_l": oxygen.value,
        "elevation_m": visit.site.elevation_m,
        "assumed": "; ".join(computed.assumed),
    }


def _suspect(
    reported: Reading, source: str, computed: Derived, evidence: Evidence, limits: Limits
) -> Finding:
    told, at_sea = written_words(reported), evidence["computed_percent_at_0_m"]
    side = {Censoring.BELOW: "less than ", Censoring.ABOVE: "more than ", None: ""}[computed.censored]
    message = (
        f"Oxygen of {told} does not fit {source}: that is {side}{rounded_words(computed.value)} % here. More "
        f"than {number_words(limits['points_apart'])} points apart is too much."
    )
    exact = reported.censored is None and computed.censored is None
    if exact and isinstance(at_sea, float) and abs(reported.value - at_sea) <= limits["sea_level_match"]:
        message += f" At sea level it would be {rounded_words(at_sea)} %: elevation not applied?"
        advice = (
            "Tell the meter the elevation of this site or the air pressure of this place, calibrate it in "
            f"moist air and read again. If it shows {told} again, write that down with it."
        )
    else:
        advice = (
            "Read both again in moving water, and look that mg/L and % stand in the right boxes. Calibrate "
            f"the meter in moist air. If it shows {told} again, keep it and tell your coordinator."
        )
    return Finding(Flag.SUSPECT, message, evidence, advice)


CHECK = ReadingCheck(
    id="oxygen-pair",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("points_apart", "sea_level_match"),
    parameters=frozenset({"dissolved_oxygen_saturation"}),
)
