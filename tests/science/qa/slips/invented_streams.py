"""A small invented network with three school years behind it, for counting how well slips are named.

The model is that of the outlier simulation: a yearly wave of temperature with a drift that all sites share,
storms in 12 % of the weeks, the marks and steps of school kits. Its numbers are invented.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cache

import numpy as np

from service.science.kit_reading import interpret
from service.science.oxygen_saturation import solubility_at_one_atmosphere
from service.science.qa.seasonal_window import season_distance_days
from service.science.types import PastReading, Reading, Site, Visit
from tests.science.qa.limits import CATALOGUE
from tests.science.qa.visits import ZONE

SITES, WEEKS = 4, 36
FIRST_DAYS = tuple(date(year, 9, 1) for year in (2022, 2023, 2024, 2025))
WIDEST_WINDOW_DAYS = 60
KITS = {
    "water_temperature": "thermometer-alcohol",
    "ph": "ph-comparator-wide",
    "dissolved_oxygen": "oxygen-titrator",
    "transparency": "transparency-tube-120",
    "nitrate": "nitrate-zinc-comparator",
}


@dataclass(frozen=True)
class Week:
    """What one site truly was in one week, and the weather above it."""

    site: int
    on: date
    water: Mapping[str, float]
    air_c: float
    rain_mm: float


def invented_weeks(seed: int) -> list[Week]:
    rng = np.random.default_rng(seed)
    traits = [
        (rng.normal(0, 1), rng.normal(7.4, 0.3), rng.uniform(1.7, 1.95), rng.uniform(0.4, 1.5))
        for _ in range(SITES)
    ]
    weeks, drift = [], 0.0
    for first_day in FIRST_DAYS:
        for number in range(WEEKS):
            drift = 0.6 * drift + rng.normal(0, 1)
            storm = 0.5 if rng.random() < 0.12 else 0.0
            on = first_day + timedelta(weeks=number)
            weeks += [_week(site, on, trait, drift, storm, rng) for site, trait in enumerate(traits)]
    return weeks


def _week(site: int, on: date, trait: tuple, drift: float, storm: float, rng: np.random.Generator) -> Week:
    offset, ph, clear_log10_cm, nitrate = trait
    wave = math.cos(2 * math.pi * (on.timetuple().tm_yday - 200) / 365)
    temperature = max(0.0, 11 + 9 * wave + offset + drift + rng.normal(0, 0.5))
    water = {
        "water_temperature": temperature,
        "ph": ph + 0.1 * wave + rng.normal(0, 0.2),
        "dissolved_oxygen": 0.92 * solubility_at_one_atmosphere(temperature) + rng.normal(0, 0.5),
        "transparency": 10 ** (clear_log10_cm - storm + rng.normal(0, 0.07)),
        "nitrate": nitrate * math.exp(rng.normal(0, 0.3)),
    }
    return Week(site, on, water, round(temperature + rng.normal(1.0, 4.0)), 40 * storm)


def on_kit(code: str, value: float) -> float:
    """Return what a kit shows."""
    kit = CATALOGUE.kits[code]
    if kit.marks:
        return min(kit.marks, key=lambda mark: abs(mark - value))
    shown = round(min(max(value, kit.lower), kit.upper) / kit.step) * kit.step
    return float(f"{shown:.6g}")


def read_with(code: str, value: float, position: int = 0) -> Reading:
    kit = CATALOGUE.kits[code]
    parameter = CATALOGUE.parameters[kit.parameter]
    return interpret(position, parameter, kit, value, kit.unit, censored=None, procedure={})


class Network:
    """The visits of the last year, each with the past of its site."""

    def __init__(self, seed: int) -> None:
        weeks = invented_weeks(seed)
        self.newest = [week for week in weeks if week.on >= FIRST_DAYS[-1]]
        self._past = [week for week in weeks if week.on < FIRST_DAYS[-1]]
        self._shown = cache(self._read_before)

    def visit(self, week: Week, kits: Mapping[str, str], written: Mapping[str, float]) -> Visit:
        """Return a visit at which these numbers were written, the others as their kits showed them."""
        readings = tuple(
            read_with(code, written.get(name, on_kit(code, week.water[name])), position)
            for position, (name, code) in enumerate(kits.items())
        )
        observed_at = datetime(week.on.year, week.on.month, week.on.day, 11, tzinfo=ZONE)
        return Visit(
            site=Site(f"creek-{week.site}", ZONE.key, latitude=44.0, longitude=-72.0, elevation_m=0.0),
            observed_at=observed_at,
            received_at=observed_at + timedelta(hours=1),
            readings=readings,
            conditions={"air_temperature_c": week.air_c, "rain_48h_mm": week.rain_mm},
            history={
                name: tuple(
                    past
                    for past in self._shown(week.site, code)
                    if season_distance_days(past.on, week.on) <= WIDEST_WINDOW_DAYS
                )
                for name, code in kits.items()
            },
        )

    def _read_before(self, site: int, code: str) -> list[PastReading]:
        kit = CATALOGUE.kits[code]
        past = [week for week in self._past if week.site == site]
        shown = [read_with(code, on_kit(code, week.water[kit.parameter])) for week in past]
        return [
            PastReading(week.on, reading.value, reading.censored, code, kit.kind)
            for week, reading in zip(past, shown, strict=True)
        ]
