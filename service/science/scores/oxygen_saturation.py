"""Percent saturation of oxygen as a score: how much of what the water can hold is in it.

Reference
---------
Benson & Krause 1984, as in ``service/science/oxygen_saturation.py``. The bands are common practice.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from service.science.derived.oxygen_saturation import oxygen_saturation_of
from service.science.derived.site_pressure import (
    ASSUMED_ELEVATION,
    ASSUMED_INSTEAD,
    ASSUMED_SEA_LEVEL,
    pressure_at,
)
from service.science.derived.specific_conductance import conductance_beside
from service.science.derived.value import FRESH_WATER
from service.science.oxygen_saturation import percent_saturation
from service.science.qa.wording import rounded_words
from service.science.scores.banding import band_of
from service.science.scores.index import Band, Definition, Measured, ReadingIndex, Score, Standing
from service.science.scores.reading_doubt import (
    Draws,
    doubt_of_kits,
    drawing,
    first_usable,
    reasons_of_doubt,
    rounded,
    says_its_doubt,
    those_in_doubt,
)
from service.science.scores.resampling import Doubt
from service.science.types import Censoring, Reading, Visit

OXYGEN, WATER, PERCENT = "dissolved_oxygen", "water_temperature", "dissolved_oxygen_saturation"
PRESSURE_ASSUMED = frozenset({ASSUMED_ELEVATION, ASSUMED_INSTEAD, ASSUMED_SEA_LEVEL})
COLDEST_C, WARMEST_C = 0.0, 40.0


@dataclass(frozen=True, slots=True)
class _Saturation:
    """Percent of saturation [%] with its bounds, the readings it was made of, and how it is drawn.

    ``drawn_from`` are those whose kits leave the doubt that is told.
    """

    value: float
    low: float
    high: float
    censored: Censoring | None
    used: tuple[Reading, ...]
    drawn_from: tuple[Reading, ...]
    draw: Callable[[int], Draws]
    assumed: tuple[str, ...] = ()


def oxygen_saturation(measured: Measured, definition: Definition, seed: int) -> Score | None:
    """Return the percent saturation of the oxygen of a visit.

    Parameters
    ----------
    measured : Measured
        Readings that have not failed: dissolved oxygen [mg/L] with water temperature [degC], or else percent
        saturation [%] as a meter shows it.
    definition : Definition
        Decimals and bands.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score or None
        Value [%] with the middle 90 % of what the kits leave open; ``None`` where no oxygen was read. Oxygen
        only known to lie beyond a limit gives the percentage of that limit, one open side, and a band only
        where all that is left lies in one.

    Reference
    ---------
    As in the heading of this module.
    """
    found = _saturation(measured)
    if found is None:
        return None
    if isinstance(found, str):
        return Score(
            definition.index, definition.number, None, None, Standing.MISSING, reasons=(found,), inputs=()
        )
    value, doubt = rounded(found.value, definition), _doubt_of(found, definition, seed)
    doubted = those_in_doubt(measured, found.used)
    only_limit = found.censored is not None
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(value),
        band=next(iter(doubt.bands), None) if only_limit else band_of(value, definition.bands),
        standing=Standing.PROVISIONAL if doubted or only_limit else Standing.RATED,
        low=doubt.low,
        high=doubt.high,
        bands=doubt.bands,
        reasons=_reasons(found, doubted),
        inputs=tuple(reading.parameter for reading in found.used),
    )


def _saturation(measured: Measured) -> _Saturation | str | None:
    """Return the saturation, or why there is none, or ``None`` where no oxygen was read."""
    oxygen, shown = first_usable(measured, OXYGEN), first_usable(measured, PERCENT)
    worked_out = None if oxygen is None else _worked_out(oxygen, measured.visit)
    if shown is None or isinstance(worked_out, _Saturation):
        return worked_out

    def draw(seed: int) -> Draws:
        return drawing(seed)(shown)

    return _Saturation(shown.value, shown.low, shown.high, shown.censored, (shown,), (shown,), draw)


def _worked_out(oxygen: Reading, visit: Visit) -> _Saturation | str:
    water = visit.beside(oxygen, WATER)
    if water is None:
        return "needs the water temperature: read it beside the oxygen"
    if water.censored is not None:
        return "needs the water temperature as a number"
    derived = oxygen_saturation_of(oxygen, visit)
    if derived is None:
        return f"the formula holds for fresh water of {COLDEST_C:g} to {WARMEST_C:g} °C; check both readings"
    within = replace(water, low=max(water.low, COLDEST_C), high=min(water.high, WARMEST_C))
    pressure_atm, _ = pressure_at(visit, visit.site)
    salts_us_per_cm = conductance_beside(oxygen, visit) or 0.0

    def draw(seed: int) -> Draws:
        drawn = drawing(seed)
        return percent_saturation(drawn(oxygen), drawn(within), pressure_atm, salts_us_per_cm)

    used = (oxygen, water, *_further(oxygen, visit, derived.assumed))
    return _Saturation(
        derived.value,
        derived.low,
        derived.high,
        oxygen.censored,
        used,
        (oxygen, water),
        draw,
        derived.assumed,
    )


def _further(oxygen: Reading, visit: Visit, assumed: Sequence[str]) -> Iterator[Reading]:
    """Give what was read of salts and air pressure, as far as the formula took it."""
    salts = visit.beside(oxygen, "specific_conductance") or visit.beside(oxygen, "conductivity")
    if salts is not None and FRESH_WATER not in assumed:
        yield salts
    pressure = visit.first("barometric_pressure")
    if pressure is not None and PRESSURE_ASSUMED.isdisjoint(assumed):
        yield pressure


def _doubt_of(found: _Saturation, definition: Definition, seed: int) -> Doubt:
    if not all(says_its_doubt(reading) for reading in found.drawn_from):
        return Doubt()
    if found.censored is None:
        return doubt_of_kits(found.draw(seed), definition)
    below = found.censored is Censoring.BELOW
    low = Decimal(0) if below else rounded(found.low, definition)
    high = rounded(found.high, definition) if below else Decimal("Infinity")
    band = next((band.name for band in definition.bands if _holds_all(band, low, high)), None)
    return Doubt(
        low=None if below else float(low),
        high=float(high) if below else None,
        bands={} if band is None else {band: 1.0},
    )


def _holds_all(band: Band, low: Decimal, high: Decimal) -> bool:
    return (band.lower is None or band.lower <= low) and (band.upper is None or high <= band.upper)


def _reasons(found: _Saturation, doubted: Sequence[Reading]) -> tuple[str, ...]:
    reasons = []
    if found.censored is not None:
        side = "less" if found.censored is Censoring.BELOW else "more"
        reasons.append(f"the oxygen is only known to be {side} than {rounded_words(found.value)} %")
    if found.assumed:
        reasons.append(f"assumed: {', '.join(found.assumed)}")
    return (*reasons, *reasons_of_doubt(doubted, found.drawn_from))


INDEX = ReadingIndex("oxygen-saturation", oxygen_saturation)
