"""What was measured last at each site, and how long ago that was."""

from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import RowMapping
from sqlmodel import Session

from service.core.errors import BadQuery
from service.network.latest.queries import last_visits, newest_visits, usable_readings
from service.network.latest.schemas import LatestReading, LatestRow
from service.network.site_fields import site_fields
from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.sites.tables import Site

OF_A_READING = ("value", "censored", "low", "high", "observed_on", "visit_id")


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
) -> list[LatestRow]:
    """Return one row a site, in their order, with every parameter that is wanted.

    ``now`` is a moment with its zone; ages count to the day that it is at the site.
    """
    codes = [site.code for site in sites]
    last = last_visits(session, codes)
    newest = _newest(session, codes, parameters)
    rows = []
    for site in sites:
        today = now.astimezone(ZoneInfo(site.time_zone)).date()
        readings = [_reading(name, newest.get((site.code, name)), today) for name in parameters]
        rows.append(_row(site, caller, last[site.code], today, readings))
    return rows


def _newest(
    session: Session, codes: Sequence[str], parameters: Sequence[str]
) -> dict[tuple[str, str], RowMapping]:
    """Return the newest reading by site and parameter; of several in one visit the first."""
    visits = {
        (row["site"], row["parameter"]): row["visit_id"]
        for row in newest_visits(session, codes, parameters)
        if row["visit_id"] is not None
    }
    readings: dict[tuple[UUID, str], RowMapping] = {}
    for row in usable_readings(session, set(visits.values()), parameters):
        readings.setdefault((row["visit_id"], row["parameter"]), row)
    return {(site, name): readings[visit_id, name] for (site, name), visit_id in visits.items()}


def _row(
    site: Site, caller: Caller, last: date | None, today: date, readings: list[LatestReading]
) -> LatestRow:
    return LatestRow(
        **site_fields(site, caller), last_visit_on=last, age_days=_age(last, today), readings=readings
    )


def _reading(parameter: str, row: RowMapping | None, today: date) -> LatestReading:
    known = dict.fromkeys(OF_A_READING) if row is None else {name: row[name] for name in OF_A_READING}
    return LatestReading(
        parameter=parameter,
        unit=load_catalogue().parameters[parameter].unit if row is None else row["unit"],
        flag=None if row is None else int(row["flag"]),
        age_days=_age(known["observed_on"], today),
        **known,
    )


def _age(on: date | None, today: date) -> int | None:
    return None if on is None else (today - on).days
