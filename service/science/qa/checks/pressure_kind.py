"""Is this the air pressure of the place, or that of a weather report, which is reduced to sea level?

The two are the same at the sea and drift apart with height; oxygen answers to the pressure of the place.
"""

from service.science.barometric_pressure import station_pressure_from_sea_level
from service.science.derived.site_pressure import is_reduced_to_sea_level
from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, rounded_words, unit_words, written_words
from service.science.types import Finding, LikelySlip, Reading, Visit
from service.science.units import convert

SLIP = "sea-level-pressure"


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Look for a pressure of sea level at a site that lies too high for it.

    Parameters
    ----------
    reading : pressure of the air [hPa], not censored
    visit : gives the elevation of the site
    limits : ``elevation_above`` [m], ``near_sea_level``, ``above_place`` [hPa], as in
        :func:`service.science.derived.site_pressure.is_reduced_to_sea_level`

    Returns
    -------
    Finding
        3 for a pressure that fits sea level and not the place, with the pressure that it would be there; 2
        without an elevation or with "<" or ">"; else 1.
    """
    elevation_m = visit.site.elevation_m
    if elevation_m is None or reading.censored is not None:
        message = "Not checked: that needs the elevation of the site and a plain number."
        return Finding(Flag.NOT_EVALUATED, message)
    evidence = {"pressure_hpa": reading.value, "elevation_m": elevation_m, **limits}
    try:
        suspect = is_reduced_to_sea_level(
            reading.value,
            elevation_m,
            elevation_above_m=limits["elevation_above"],
            near_sea_level_hpa=limits["near_sea_level"],
            above_place_hpa=limits["above_place"],
        )
    except ValueError as reason:
        return Finding(Flag.NOT_EVALUATED, f"Not checked: {reason}.", evidence)
    if not suspect:
        return Finding(Flag.PASS, evidence=evidence)
    station_hpa = round(station_pressure_from_sea_level(reading.value, elevation_m), 2)
    return _suspect(reading, elevation_m, station_hpa, {**evidence, "station_pressure_hpa": station_hpa})


def _suspect(reading: Reading, elevation_m: float, station_hpa: float, evidence: dict[str, float]) -> Finding:
    told, unit = written_words(reading), unit_words(reading.written_unit)
    at_site = f"{rounded_words(convert(station_hpa, reading.unit, reading.written_unit), 4)}{unit}"
    return Finding(
        Flag.SUSPECT,
        f"Air pressure {told} fits sea level, but this site lies {number_words(elevation_m)} m high. Is it "
        f"from a weather report? Then the pressure here is about {at_site}.",
        evidence,
        f"Read a barometer at the stream that is not set to sea level. If {told} came from a weather report, "
        "leave it out: the service then works with the elevation of the site.",
        LikelySlip(SLIP, station_hpa),
    )


CHECK = ReadingCheck(
    id="pressure-kind",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("elevation_above", "near_sea_level", "above_place"),
    parameters=frozenset({"barometric_pressure"}),
)
