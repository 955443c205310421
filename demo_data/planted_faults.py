"""The slips planted among the ordinary visits, each with the check that must see it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from class_kits import NITRATE_AS_NO3_PER_N
from promises import ExpectedFlag, Promises
from records import Visit, version_7


@dataclass(frozen=True)
class Slip:
    """One reading written wrongly (or oddly) at the first fitting visit of a site on or after a day.

    ``write`` takes the ordinary value and returns the written one; ``kit`` replaces the kit where given
    ("" for not named); ``keeps_mark`` leaves the ``<`` or ``>`` of the ordinary reading; ``expected`` are
    the answers the checks must give, ``slip`` the slip they must name for the reading, ``alert`` the alert.
    """

    site: str
    on: str
    parameter: str
    write: Callable[[float], float]
    expected: tuple[ExpectedFlag, ...]
    why: str
    kit: str | None = None
    keeps_mark: bool = False
    slip: str = ""
    alert: str = ""


def _always(value: float) -> Callable[[float], float]:
    return lambda _ordinary: value


SLIPS: tuple[Slip, ...] = (
    Slip(
        "rowan-02",
        "2024-10-01",
        "water_temperature",
        lambda celsius: float(round(1.8 * celsius + 32)),
        (("water_temperature", "gross-range", 4), ("water_temperature", "kit-scale", 4)),
        "Fahrenheit typed as Celsius: hotter than any stream, and above the top of the thermometer",
        slip="fahrenheit-as-celsius",
    ),
    Slip(
        "alder-05",
        "2025-02-18",
        "ph",
        lambda ph: float(round(ph * 10)),
        (("ph", "gross-range", 4), ("ph", "kit-scale", 2)),
        "decimal point lost, and no kit named",
        kit="",
        slip="decimal-point-lost",
    ),
    Slip(
        "hornbeam-06",
        "2024-09-09",
        "ph",
        _always(3.5),
        (("ph", "gross-range", 3), ("ph", "site-outlier", 2)),
        "a rare pH in a site's second week: no history yet, only the usual range speaks",
        alert="extreme-ph",
    ),
    Slip(
        "hornbeam-03",
        "2025-09-08",
        "dissolved_oxygen",
        _always(1.0),
        (("dissolved_oxygen", "gross-range", 3), ("dissolved_oxygen", "oxygen-saturation", 3)),
        "very little oxygen below the drain outlet; it may be real, a person decides",
        alert="very-low-oxygen",
    ),
    Slip(
        "rowan-05",
        "2025-03-11",
        "dissolved_oxygen",
        _always(6.0),
        (("dissolved_oxygen", "kit-scale", 4),),
        "a guess between two colours: the tablets show 0, 4 and 8 only",
    ),
    Slip(
        "alder-03",
        "2025-03-04",
        "ph",
        _always(7.5),
        (("ph", "kit-scale", 4),),
        "a guess between two colours: the card has whole numbers only",
    ),
    Slip(
        "larch-02",
        "2025-03-18",
        "transparency",
        _always(75.0),
        (("transparency", "kit-scale", 4),),
        "75 cm from a tube of 60 cm",
    ),
    Slip(
        "alder-06",
        "2025-04-01",
        "nitrate",
        _always(3.0),
        (("nitrate", "kit-scale", 4),),
        "3 lies between the marks 2 and 4 of this kit",
    ),
    Slip(
        "alder-04",
        "2026-06-02",
        "dissolved_oxygen",
        _always(14.8),
        (("dissolved_oxygen", "oxygen-saturation", 3), ("dissolved_oxygen", "site-outlier", 3)),
        "far more oxygen than warm water holds: an air bubble was left in the bottle",
    ),
    Slip(
        "alder-06",
        "2026-03-03",
        "water_temperature",
        _always(38.0),
        (
            ("water_temperature", "gross-range", 3),
            ("water_temperature", "site-outlier", 3),
            ("dissolved_oxygen", "oxygen-saturation", 3),
        ),
        "a cold 38 degF typed as Celsius: the oxygen of cold water does not fit water so warm",
        slip="fahrenheit-as-celsius",
    ),
    Slip(
        "alder-04",
        "2026-02-17",
        "water_temperature",
        _always(15.0),
        (("water_temperature", "site-outlier", 3),),
        "decimal point lost in winter: 15 for 1.5",
        slip="decimal-point-lost",
    ),
    Slip(
        "hornbeam-04",
        "2026-04-14",
        "transparency",
        lambda depth_cm: float(round(depth_cm / 10)),
        (("transparency", "site-outlier", 3),),
        "last digit not typed",
        slip="decimal-point-too-far-left",
    ),
    Slip(
        "alder-05",
        "2026-05-05",
        "specific_conductance",
        lambda conductance: conductance * 10,
        (("specific_conductance", "site-outlier", 3),),
        "one zero too many",
        slip="decimal-point-lost",
    ),
    Slip(
        "hornbeam-05",
        "2026-05-12",
        "ph",
        _always(9.5),
        (("ph", "site-outlier", 3),),
        "the colour card was held upside down",
    ),
    Slip(
        "alder-02",
        "2024-10-08",
        "transparency",
        _always(60.0),
        (("transparency", "kit-scale", 1),),
        "no fault: a full tube written without the mark, to be taken as more than 60 cm",
    ),
    Slip(
        "hornbeam-03",
        "2024-09-10",
        "dissolved_oxygen",
        _always(0.0),
        (("dissolved_oxygen", "kit-scale", 1),),
        "no fault: 0 from the oxygen tablets, to be taken as less than 4 mg/L",
    ),
    Slip(
        "rowan-04",
        "2024-10-01",
        "nitrate",
        lambda limit: limit,
        (("nitrate", "kit-scale", 1),),
        f"no fault: no colour, marked as below the first mark ({5 / NITRATE_AS_NO3_PER_N:.2f} mg/L as N)",
        keeps_mark=True,
    ),
)
YEAR_SLIP = ("larch-05", "2026-04-14", "the year typed wrongly: a day before the site existed")
DOUBLE = ("rowan-03", "2025-10-14", "sent twice under two ids: same team, site and instant")
PRIVATE_NOTE = ("larch-03", "2025-10-21", "gate code is with the caretaker")


def plant(visits: list[Visit], rng: np.random.Generator) -> Promises:
    """Plant every slip in ``visits`` (in place) and return what the service must say of them."""
    taken: set[str] = set()
    promised = Promises()
    for slip in SLIPS:
        promised += _plant_slip(_find(visits, slip.site, slip.on, taken, slip.parameter), slip)
    wrong_year = _find(visits, YEAR_SLIP[0], YEAR_SLIP[1], taken)
    wrong_year.observed_at = wrong_year.observed_at.replace(year=wrong_year.observed_at.year - 1)
    promised.expect(wrong_year, (("", "visit-clock", 4),), YEAR_SLIP[2])
    first = _find(visits, DOUBLE[0], DOUBLE[1], taken)
    sent_again = first.made_at + timedelta(minutes=int(rng.integers(20, 90)))
    again = replace(
        first, visit_id=version_7(sent_again, rng), made_at=sent_again, readings=list(first.readings)
    )
    visits.append(again)
    promised.expect(again, (("", "visit-clock", 4),), DOUBLE[2])
    _find(visits, PRIVATE_NOTE[0], PRIVATE_NOTE[1], taken).notes = PRIVATE_NOTE[2]
    return promised


def _plant_slip(visit: Visit, slip: Slip) -> Promises:
    reading = next(row for row in visit.readings if row.parameter == slip.parameter)
    written = slip.write(reading.value)
    reading.value = written
    if not slip.keeps_mark:
        reading.censored = None
    if slip.kit is not None:
        reading.kit = slip.kit or None
    promised = Promises()
    promised.expect(visit, slip.expected, slip.why, slip={slip.parameter: slip.slip})
    promised.raise_alerts(visit, slip.alert)
    return promised


def _find(visits: list[Visit], site: str, on: str, taken: set[str], parameter: str | None = None) -> Visit:
    """Return the first ordinary visit (no storm, no catch, no other slip) of a site on or after a day."""
    found = next(
        visit
        for visit in visits
        if visit.site.code == site
        and visit.observed_at.date() >= date.fromisoformat(on)
        and not visit.storm
        and visit.catch is None
        and visit.visit_id not in taken
        and (parameter is None or any(reading.parameter == parameter for reading in visit.readings))
    )
    taken.add(found.visit_id)
    return found
