"""Slips of the barometer: five units are in use, and their numbers hardly overlap.

A pressure of sea level at a site that lies high has a check of its own, ``pressure-kind``.
"""

from collections.abc import Callable

from service.science.barometric_pressure import HECTOPASCALS_PER_ATMOSPHERE, pressure_from_elevation
from service.science.qa.slips.slip import Proposal, Slip, rewritten
from service.science.types import Reading, Visit
from service.science.units import convert

SPANS = {"psi": (9, 16), "inHg": (17, 33), "kPa": (55, 112), "mmHg": (400, 800), "hPa": (550, 1090)}
HPA_PER_PSI = 68.9475729  # 1 pound-force (4.4482216152605 N) on 1 square inch, exact by definition
WEATHER_SHARE = 0.06
ALSO_IN_HECTOPASCALS = frozenset({"mmHg", "hPa"})  # 400 to 800 may be either, so the elevation must decide


def _read_in(unit: str) -> Callable[[Reading, Visit], Proposal | None]:
    least, most = SPANS[unit]

    def propose(reading: Reading, visit: Visit) -> Proposal | None:
        if unit == reading.written_unit or not least <= reading.written_value <= most:
            return None
        value = reading.written_value
        meant_hpa = value * HPA_PER_PSI if unit == "psi" else convert(value, unit, "hPa")
        if not _is_pressure_of_the_place(meant_hpa, visit.site.elevation_m, unit):
            return None
        return Proposal(rewritten(reading, float(f"{meant_hpa:.4g}"), "hPa"))

    return propose


def _is_pressure_of_the_place(pressure_hpa: float, elevation_m: float | None, unit: str) -> bool:
    if elevation_m is None:
        return unit not in ALSO_IN_HECTOPASCALS
    try:
        usual_hpa = pressure_from_elevation(elevation_m) * HECTOPASCALS_PER_ATMOSPHERE
    except ValueError:
        return False
    return abs(pressure_hpa / usual_hpa - 1) <= WEATHER_SHARE


PRESSURE_UNITS = tuple(
    Slip(
        "pressure-unit",
        frozenset({"barometric_pressure"}),
        _read_in(unit),
        f"Was it read in {unit}? Then it would be {{would_be}}.",
    )
    for unit in SPANS
)
