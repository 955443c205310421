"""The invented streams of the outlier simulation: what a class writes down, week by week.

The shape of the model is the one that the reference figures were measured on. Numbers that its description
leaves open (how big a storm is, how far sites differ) were read off the readings of one network that
it printed, not tuned to its flag rates: see README.md.
"""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from service.reference.load import load_catalogue
from service.science.kit_reading import interpret
from service.science.oxygen_saturation import solubility_at_one_atmosphere
from service.science.types import Kit, Parameter, Reading

SITES, YEARS, WEEKS = 8, 4, 36
FIRST_YEAR = 2021
STORM_SHARE = 0.12
SCHOOL_DAYS = 5

CATALOGUE = load_catalogue()
OXYGEN_CARD = Kit(
    "oxygen-card-seven-marks",
    "oxygen colour card, 0 to 12 by 2",
    "comparator",
    "dissolved_oxygen",
    "mg/L",
    0,
    12,
    marks=(0, 2, 4, 6, 8, 10, 12),
    accuracy=1,
)

Grid = NDArray[np.float64]  # one number for each site, school year and week


@dataclass(frozen=True)
class Field:
    """One line of the class's sheet: a parameter and the kit it is read with."""

    parameter: Parameter
    kit: Kit

    def read(self, written: float) -> Reading:
        """Return what the service makes of a number written on this line."""
        return interpret(0, self.parameter, self.kit, written, self.kit.unit, censored=None, procedure={})


def _field(parameter: str, kit: str) -> Field:
    return Field(CATALOGUE.parameters[parameter], CATALOGUE.kits[kit])


FIELDS = {
    "temp": _field("water_temperature", "thermometer-alcohol"),
    "ph": _field("ph", "ph-comparator-wide"),
    "do_titr": _field("dissolved_oxygen", "oxygen-titrator"),
    "do_comp": Field(CATALOGUE.parameters["dissolved_oxygen"], OXYGEN_CARD),
    "tube": _field("transparency", "transparency-tube-120"),
    "nitrate": _field("nitrate", "nitrate-zinc-comparator"),
}


@dataclass(frozen=True)
class Network:
    """Four school years of one network: the day of each visit, and the number written on each line."""

    days: NDArray[np.object_]
    written: dict[str, Grid]


def invent_network(rng: np.random.Generator, *, one_day: bool) -> Network:
    """Return a network of eight sites of one watershed, each visited once in each of 36 weeks a year.

    With ``one_day`` all sites of a week are visited on its Monday, else each on a school day of its own.
    """
    days = _days(rng, one_day=one_day)
    day_of_year = np.vectorize(lambda day: day.timetuple().tm_yday)(days).astype(float)
    season = np.cos(2 * np.pi * (day_of_year - 200) / 365)
    water_c = _water_c(rng, season)
    oxygen = _oxygen(rng, water_c)
    ph = _site(rng, 7.4, 0.3) + 0.2 * season + rng.normal(0, 0.2, season.shape)
    nitrate_log = _site(rng, 0.0, 0.4) - 0.13 * season + rng.normal(0, 0.13, season.shape)
    kits = {name: field.kit for name, field in FIELDS.items()}
    return Network(
        days,
        {
            "temp": np.round(2 * np.maximum(water_c + rng.normal(0, 0.3, season.shape), 0)) / 2,
            "ph": _nearest(ph, np.array(kits["ph"].marks)),
            "do_titr": np.round(np.round(np.clip(oxygen + _kit_error(rng), 0.2, 20) / 0.2) * 0.2, 1),
            "do_comp": _nearest(oxygen + _kit_error(rng), np.array(kits["do_comp"].marks)),
            "tube": np.clip(np.round(10 ** _tube_log(rng)), 1, 120),
            "nitrate": _nearest(nitrate_log, np.array(kits["nitrate"].marks), np.log10),
        },
    )


def _days(rng: np.random.Generator, *, one_day: bool) -> NDArray[np.object_]:
    days = np.empty((SITES, YEARS, WEEKS), dtype=object)
    weekdays = rng.integers(0, 1 if one_day else SCHOOL_DAYS, days.shape)
    for year in range(YEARS):
        september = date(FIRST_YEAR + year, 9, 1)
        monday = september + timedelta(days=-september.weekday() % 7)
        for week in range(WEEKS):
            for site in range(SITES):
                days[site, year, week] = monday + timedelta(weeks=week, days=int(weekdays[site, year, week]))
    return days


def _site(rng: np.random.Generator, mean: float, spread: float) -> Grid:
    return rng.normal(mean, spread, (SITES, 1, 1))


def _kit_error(rng: np.random.Generator) -> Grid:
    return rng.normal(0, 0.3, (SITES, YEARS, WEEKS))


def _water_c(rng: np.random.Generator, season: Grid) -> Grid:
    """Return water temperatures [degC]: season, site, weather that lasts and is shared, and noise."""
    weather = np.empty((YEARS, WEEKS))
    for year in range(YEARS):
        now = rng.normal(0, 1.25)
        for week in range(WEEKS):
            weather[year, week] = now
            now = 0.6 * now + rng.normal(0, 1.0)
    own = rng.normal(0, 0.95, season.shape)
    water_c: Grid = 11 + 9 * season + _site(rng, 0, 1.0) + weather[None] + own
    return water_c


def _oxygen(rng: np.random.Generator, water_c: Grid) -> Grid:
    """Return dissolved oxygen [mg/L]: 92 % of saturation at sea level, a site a little more or less."""
    saturated: Grid = np.vectorize(solubility_at_one_atmosphere)(np.clip(water_c, 0, 40))
    return _site(rng, 0.92, 0.045) * saturated + rng.normal(0, 0.4, water_c.shape)


def _tube_log(rng: np.random.Generator) -> Grid:
    """Return log10 of tube depths [cm]: a site's own, and in a storm less at all sites of the network."""
    storms = (rng.random((YEARS, WEEKS)) < STORM_SHARE) * rng.uniform(0.1, 0.7, (YEARS, WEEKS))
    ordinary: Grid = _site(rng, 1.9, 0.2) + rng.normal(0, 0.1, (SITES, YEARS, WEEKS))
    return ordinary - storms[None]


def _nearest(values: Grid, marks: Grid, scale: np.ufunc | None = None) -> Grid:
    places = marks if scale is None else scale(marks)
    nearest: Grid = marks[np.abs(values[..., None] - places).argmin(axis=-1)]
    return nearest
