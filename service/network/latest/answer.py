"""What was measured last at each site, and how long ago that was."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlmodel import Session

from service.core.errors import BadQuery
from service.network.latest.queries import last_visits, newest_visits, usable_readings
from service.network.latest.schemas import LatestReading
from service.network.site_fields import site_fields
from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.sites.tables import Site

Fields = dict[str, Any]


def parameters_wanted(names: str | None) -> list[str]:
    """Return the parameters that a filter names, or all, in the order of their names.

    Raises
    ------
    BadQuery
        One of them is not known.
    """
    known = load_catalogue().parameters
    if names is None:
        return sorted(known)
    wanted = {name.strip() for name in names.split(",")}
    if wanted - known.keys():
        raise BadQuery(
            f"parameter: {', '.join(sorted(wanted - known.keys()))} is not measured here; "
            f"known are {', '.join(sorted(known))}"
        )
    return sorted(wanted)


def latest_rows(
    session: Session, sites: Sequence[Site], parameters: Sequence[str], caller: Caller, now: datetime
) -> list[Fields]:
    """Return one row a site, as ``LatestRow`` describes it, with every parameter that is wanted.

    ``now`` is a moment with its zone; ages count to the day that it is at the site.
    """
    codes = [site.code for site in sites]
    last = last_visits(session, codes)
    newest = _newest(session, codes, parameters)
    unmeasured = {name: _unmeasured(name) for name in parameters}
    rows = []
    for site in sites:
        today = now.astimezone(ZoneInfo(site.time_zone)).date()
        found = [newest.get((site.code, name), unmeasured[name]) for name in parameters]
        rows.append(
            site_fields(site, caller)
            | {"last_visit_on": last[site.code], "age_days": _age(last[site.code], today)}
            | {"readings": [one | {"age_days": _age(one["observed_on"], today)} for one in found]}
        )
    return rows


def _newest(
    session: Session, codes: Sequence[str], parameters: Sequence[str]
) -> dict[tuple[str, str], Fields]:
    """Return the newest reading by site and parameter; of several in one visit the first."""
    visits = {
        (row["site"], row["parameter"]): row["visit_id"]
        for row in newest_visits(session, codes, parameters)
        if row["visit_id"] is not None
    }
    ids = {written: UUID(str(written)) for written in set(visits.values())}
    readings: dict[tuple[Any, str], Fields] = {}
    for row in usable_readings(session, ids.values(), parameters):
        readings.setdefault((row["visit_id"], row["parameter"]), row | {"visit_id": ids[row["visit_id"]]})
    return {(site, name): readings[visit, name] for (site, name), visit in visits.items()}


def _unmeasured(parameter: str) -> Fields:
    named = {"parameter": parameter, "unit": load_catalogue().parameters[parameter].unit}
    return dict.fromkeys(LatestReading.model_fields) | named


def _age(on: date | None, today: date) -> int | None:
    return None if on is None else (today - on).days
