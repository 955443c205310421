"""The invented streams: what the water does, week by week, before anybody measures it."""

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from records import Site

SEED = 4
FIRST_MONDAYS = (date(2024, 9, 2), date(2025, 9, 1))
LAST_MONDAYS = (date(2025, 6, 9), date(2026, 6, 8))
HOLIDAYS = frozenset(  # Mondays of weeks without school
    {
        date(2024, 11, 25),
        date(2024, 12, 23),
        date(2024, 12, 30),
        date(2025, 4, 14),
        date(2025, 11, 24),
        date(2025, 12, 22),
        date(2025, 12, 29),
        date(2026, 4, 6),
    }
)
STORMS_A_YEAR = 4
FREEZING_WEEK_AIR_C = -3.5

SOURCE_STREAM = "hornbeam"
SOURCE_KM = 10.2
STANDARD_ELEVATION_M = 220.0


@dataclass(frozen=True)
class Week:
    """One school week and the weather that all sites share."""

    index: int
    monday: date
    school_year: int
    anomaly_c: float
    storm: bool
    frozen: bool


@dataclass(frozen=True)
class Character:
    """What makes a site itself."""

    temperature_offset_c: float
    ph: float
    clear_tube_log10_cm: float
    nitrate_mg_per_l_as_n: float
    phosphate_mg_per_l_as_po4: float
    conductance_us_per_cm: float
    storm_strength: float
    plume: float


@dataclass(frozen=True)
class Water:
    """The true state of the water at one visit. Tube depth has no upper end here."""

    water_temperature: float
    ph: float
    dissolved_oxygen: float
    transparency: float
    nitrate: float
    phosphate: float
    specific_conductance: float


def season(day: date, warmest_day: int) -> float:
    """Return the yearly wave, +1 on the warmest day of the year and -1 half a year later."""
    return math.cos(2 * math.pi * (day.timetuple().tm_yday - warmest_day) / 365)


def week_air_c(monday: date, anomaly_c: float) -> float:
    """Return the mean air temperature [degC] of a week."""
    return 9 + 12 * season(monday + timedelta(days=2), 195) + 1.6 * anomaly_c


def school_weeks() -> list[Week]:
    """Return the weeks of both school years with their shared weather."""
    rng = np.random.default_rng(SEED)
    weeks: list[Week] = []
    for year, (first, last) in enumerate(zip(FIRST_MONDAYS, LAST_MONDAYS, strict=True)):
        mondays = [first + timedelta(weeks=number) for number in range((last - first).days // 7 + 1)]
        anomalies = [0.0]
        for _ in mondays:
            anomalies.append(0.6 * anomalies[-1] + float(rng.standard_normal()))
        school = [pair for pair in zip(mondays, anomalies[1:], strict=True) if pair[0] not in HOLIDAYS]
        mild = [monday.toordinal() for monday, anomaly in school if week_air_c(monday, anomaly) > 3]
        stormy = {int(day) for day in rng.choice(mild, STORMS_A_YEAR, replace=False)}
        for monday, anomaly in school:
            frozen = week_air_c(monday, anomaly) < FREEZING_WEEK_AIR_C
            weeks.append(Week(len(weeks), monday, year, anomaly, monday.toordinal() in stormy, frozen))
    return weeks


def site_character(site: Site) -> Character:
    """Return the lasting traits of a site. ``plume`` is 1 at the pollution source and fades downstream."""
    rng = np.random.default_rng([SEED, site.number])
    below_km = SOURCE_KM - site.stream_km
    polluted = site.stream == SOURCE_STREAM and below_km > 0
    return Character(
        temperature_offset_c=(-1.2 if site.water_class == "cold" else 0.8) + float(rng.normal(0, 0.3)),
        ph=float(rng.uniform(7.0, 7.6)),
        clear_tube_log10_cm=float(rng.uniform(1.86, 1.98)),
        nitrate_mg_per_l_as_n=float(rng.uniform(0.30, 0.55)),
        phosphate_mg_per_l_as_po4=float(rng.uniform(0.04, 0.12)),
        conductance_us_per_cm=float(rng.uniform(165, 205)),
        storm_strength=float(rng.uniform(0.92, 1.08)),
        plume=math.exp(-below_km / 8) if polluted else 0.0,
    )


def water_at(site: Site, traits: Character, week: Week, at: datetime, rng: np.random.Generator) -> Water:
    """Return the state of the water at one visit."""
    temperature = 11 + 9 * season(at.date(), 200) + traits.temperature_offset_c + week.anomaly_c
    temperature = max(0.0, temperature + float(rng.normal(0, 0.4)))
    warmth = min(1.0, temperature / 20)
    share = 0.94 + 0.012 * (at.hour + at.minute / 60 - 10.5) + float(rng.normal(0, 0.025))
    share -= traits.plume * (0.22 + 0.16 * warmth)
    storm = 0.45 * traits.storm_strength if week.storm else 0.0
    tube_log10 = traits.clear_tube_log10_cm - storm - 0.36 * traits.plume + float(rng.normal(0, 0.05))
    nitrate = traits.nitrate_mg_per_l_as_n + 3.2 * traits.plume
    phosphate = traits.phosphate_mg_per_l_as_po4 + 0.5 * traits.plume
    conductance = (traits.conductance_us_per_cm + 260 * traits.plume) * (0.95 if week.storm else 1.0)
    return Water(
        water_temperature=temperature,
        ph=traits.ph - 0.25 * traits.plume + 0.08 * season(at.date(), 200) + float(rng.normal(0, 0.12)),
        dissolved_oxygen=share * oxygen_at_saturation(temperature, site.elevation_m or STANDARD_ELEVATION_M),
        transparency=10**tube_log10,
        nitrate=nitrate * math.exp(float(rng.normal(0, 0.12))),
        phosphate=phosphate * math.exp(float(rng.normal(0, 0.15))),
        specific_conductance=conductance * math.exp(float(rng.normal(0, 0.03))),
    )


def oxygen_at_saturation(temperature_c: float, elevation_m: float) -> float:
    """Return dissolved oxygen at saturation [mg/L] in fresh water, 0..40 degC.

    Reference
    ---------
    Benson & Krause 1984, Limnology and Oceanography 29:620-632, with the pressure of the ICAO standard
    atmosphere at the elevation.
    """
    kelvin = temperature_c + 273.15
    at_one_atmosphere = math.exp(
        -139.34411
        + 1.575701e5 / kelvin
        - 6.642308e7 / kelvin**2
        + 1.2438e10 / kelvin**3
        - 8.621949e11 / kelvin**4
    )
    pressure = math.pow(1 - 2.25577e-5 * elevation_m, 5.25588)
    vapour = math.exp(11.8571 - 3840.70 / kelvin - 216961 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * temperature_c + 6.436e-8 * temperature_c**2
    return at_one_atmosphere * (pressure - vapour) * (1 - theta * pressure) / ((1 - vapour) * (1 - theta))
