"""From outings laid down by hand to visits that follow the ordinary ones."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from catches import parse_counts
from class_kits import SCALES
from promises import ExpectedFlag, Promises
from records import Catch, Reading, Site, Visit, version_7

# All of them are typed in from the field books on one evening at the end of the school year.
TYPED_IN_AT = datetime(2026, 6, 18, 20, tzinfo=UTC)
TYPED_IN_TEAM = "period-9"
UNITS_WITHOUT_SCALE = {
    "dissolved_oxygen_saturation": "%",
    "turbidity": "NTU",
    "barometric_pressure": "hPa",
}


@dataclass(frozen=True)
class Outing:
    """One visit laid down by hand.

    ``at`` is the local time. ``expected``, ``slips`` (parameter and slip) and ``alerts`` are what the service
    must say. ``readings_of`` and ``catch_of`` are the local date of an earlier visit of the site, from which
    readings or catch are written once more.
    """

    site: str
    at: str
    why: str
    expected: tuple[ExpectedFlag, ...] = ()
    readings: tuple[Reading, ...] = ()
    animals: str | None = None
    readings_of: str = ""
    catch_of: str = ""
    slips: tuple[tuple[str, str], ...] = ()
    alerts: tuple[str, ...] = ()
    air_c: float = 19.0
    flow: str = "normal"
    ice: str = "none"
    team: str = TYPED_IN_TEAM
    kind: str | None = None
    place: tuple[float, float] | None = None
    dead_fish: bool | None = None


def read(
    parameter: str, value: float, kit: str | None = None, censored: str | None = None, **said: Any
) -> Reading:
    """Return a reading as a class writes it; ``said`` is what it noted of how it was taken."""
    unit = SCALES[kit].unit if kit in SCALES else UNITS_WITHOUT_SCALE[parameter]
    return Reading(parameter, value, censored, unit, kit, **said)


def plant_outings(
    visits: list[Visit], sites: Sequence[Site], outings: Sequence[Outing], rng: np.random.Generator
) -> Promises:
    """Add the outings after all ``visits`` (in place) and return what the service must say of them."""
    by_code = {site.code: site for site in sites}
    promised = Promises()
    for number, outing in enumerate(outings):
        made_at = TYPED_IN_AT + timedelta(minutes=2 * number)
        visit = _visit(outing, by_code[outing.site], made_at, visits, rng)
        visits.append(visit)
        promised.expect(visit, outing.expected, outing.why, slip=dict(outing.slips))
        promised.raise_alerts(visit, *outing.alerts)
    return promised


def _visit(
    outing: Outing, site: Site, made_at: datetime, visits: Sequence[Visit], rng: np.random.Generator
) -> Visit:
    latitude, longitude = outing.place or (None, None)
    visit = Visit(
        visit_id=version_7(made_at, rng),
        site=site,
        observed_at=datetime.fromisoformat(outing.at).replace(tzinfo=ZoneInfo(site.time_zone)),
        made_at=made_at,
        week=-1,
        storm=False,
        team=outing.team,
        air_temperature_c=outing.air_c,
        weather="overcast",
        rain_48h_mm=0.0,
        flow=outing.flow,
        ice=outing.ice,
        notes="",
        readings=[replace(reading) for reading in outing.readings],
        catch=None if outing.animals is None else _catch(outing.animals),
        kind=outing.kind,
        latitude=latitude,
        longitude=longitude,
        dead_fish=outing.dead_fish,
    )
    if outing.readings_of:
        earlier = _earlier(visits, site, outing.readings_of)
        visit.readings = [replace(reading) for reading in earlier.readings]
    if outing.catch_of:
        visit.catch = _earlier(visits, site, outing.catch_of).catch
    return visit


def _catch(animals: str) -> Catch:
    return Catch("kick-seine", 20, 1.0, "counts", parse_counts(animals))


def _earlier(visits: Sequence[Visit], site: Site, on: str) -> Visit:
    return next(
        visit for visit in visits if visit.site == site and visit.observed_at.date().isoformat() == on
    )
