"""A small stream in March is cold: where a site has no history yet, latitude and season must do.

Clearly weaker than the site's own history, so it steps back as soon as ``site-outlier`` can speak. The warm
end is that of the lowlands, whatever the elevation, because dry uplands have warm streams too; the cold end
falls with the elevation, and without a known elevation no cold is suspect.
"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.seasonal_window import one_a_day, seasonal_references
from service.science.qa.wording import number_words, unit_words, written_words
from service.science.stream_year import StreamYear
from service.science.types import Evidence, Finding, Reading, Visit
from service.science.units import convert

ADVICE = (
    "Read it again while it is in the water, after a full minute. Look at the unit: is it °F? Look at the "
    "decimal point and at the date of the visit. If it stays the same, keep it, and write down whether a "
    "spring, a pond or a pipe lets water in upstream."
)


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare a water temperature with what small streams have at this latitude and time of year.

    Parameters
    ----------
    reading : water temperature [degC] with its bounds
    visit : gives the local date, latitude and elevation of the site, and its history
    limits : ``mean_at_equator``, ``mean_fall``, ``swing_at_equator``, ``swing_rise`` [degC], ``warmest_day``
        [day of the year]; ``warmer`` and ``colder`` than expected [degC]; ``colder_per_km`` [degC/km];
        ``references_enough`` [days with a reading] within ``window_days`` [d]

    Returns
    -------
    Finding or None
        3 when the whole interval of the reading is out, 2 where the site has a history of its own or no
        coordinates, else 1.
    """
    latitude = visit.site.latitude
    if latitude is None:
        message = "Not compared with the season: the place of this site is not known yet."
        return Finding(Flag.NOT_EVALUATED, message)
    if _has_history(reading, visit, limits):
        return None
    expected_c, lowest_c, highest_c = _span(visit, latitude, limits)
    evidence: Evidence = {
        "expected_c": round(expected_c, 1),
        "lowest_c": None if lowest_c is None else round(lowest_c, 1),
        "highest_c": round(highest_c, 1),
        "latitude": round(latitude),
        "elevation_m": visit.site.elevation_m,
    }
    if reading.low > highest_c:
        return _suspect(reading, visit, "warmer", "over", highest_c, evidence)
    if lowest_c is not None and reading.high < lowest_c:
        return _suspect(reading, visit, "colder", "under", lowest_c, evidence)
    return Finding(Flag.PASS, evidence=evidence)


def _span(visit: Visit, latitude: float, limits: Limits) -> tuple[float, float | None, float]:
    """Return the expected temperature and the ends of the span around it [degC]; the low end if known."""
    year = StreamYear(
        limits["mean_at_equator"],
        limits["mean_fall"],
        limits["swing_at_equator"],
        limits["swing_rise"],
        limits["warmest_day"],
    )
    expected_c = year.expected_temperature_c(latitude, visit.observed_at.date())
    highest_c = expected_c + limits["warmer"]
    elevation_m = visit.site.elevation_m
    if elevation_m is None:
        return expected_c, None, highest_c
    lower_c = limits["colder"] + limits["colder_per_km"] * elevation_m / 1000
    return expected_c, expected_c - lower_c, highest_c


def _has_history(reading: Reading, visit: Visit, limits: Limits) -> bool:
    kind = reading.kit.kind if reading.kit else None
    alike = one_a_day([past for past in visit.history.get(reading.parameter, ()) if past.kind == kind])
    enough = int(limits["references_enough"])
    found, _ = seasonal_references(alike, visit.observed_at.date(), [limits["window_days"]], enough)
    return len(found) >= enough


def _suspect(
    reading: Reading, visit: Visit, how: str, beyond: str, limit_c: float, evidence: Evidence
) -> Finding:
    limit = convert(limit_c, reading.unit, reading.written_unit)
    message = (
        f"Water temperature {written_words(reading)} is much {how} than small streams are here in "
        f"{visit.observed_at:%B}: hardly ever {beyond} {number_words(round(limit))}"
        f"{unit_words(reading.written_unit)}. This site has too few readings of its own to know better."
    )
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


CHECK = ReadingCheck(
    id="season-default",
    version=1,
    stage=Stage.STATISTICS,
    run=run,
    needs=(
        "mean_at_equator",
        "mean_fall",
        "swing_at_equator",
        "swing_rise",
        "warmest_day",
        "warmer",
        "colder",
        "colder_per_km",
        "references_enough",
        "window_days",
    ),
    parameters=frozenset({"water_temperature"}),
)
