"""A background that is asked once: for many visits in a row, in the order of time.

What is remembered is what the database would say: visits that are handed in are added to it, and all of it is
forgotten as soon as the register of changes tells of anybody else's change.
"""

from bisect import bisect_right
from collections import OrderedDict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from sqlmodel import Session

from service.changes.queries import newest_change
from service.criteria.queries import days_of_change
from service.reference.load import load_catalogue
from service.science.flags import Flag
from service.science.types import VisitKind
from service.science.watershed_code import WatershedCode
from service.sites.keep_lot import find_lots
from service.sites.queries import kits_after
from service.sites.tables import SchoolKitLot, Site
from service.visits.background import SAME_WEEK_DAYS
from service.visits.network_rules import find_rules
from service.visits.queries import Row, Rows, days_around, site_past
from service.visits.record import VisitRecord
from service.visits.score_visit import NetworkRules
from service.visits.tables import VisitReading

MOST_ROWS = 50_000  # of pasts, in memory; beyond it the past that was asked for longest ago goes
AHEAD_DAYS = 28  # how far the days of a watershed are read on
MOST_KITS = 100_000
SIDE = timedelta(days=SAME_WEEK_DAYS)


@dataclass(slots=True)
class _Days:
    first: date
    last: date
    rows: list[Row]


class Remembered:
    """The background of visits that are handed in one after the other."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._newest = -1
        self._pasts: OrderedDict[str, list[Row]] = OrderedDict()
        self._rows = 0
        self._days: dict[WatershedCode, _Days] = {}
        self._rules: dict[tuple[str, int, int], NetworkRules] = {}
        self._rules_change: list[date] | None = None
        self._own_kits: dict[str, str] | None = None

    def begin(self) -> None:
        """Begin a transaction: keep what is remembered only if nothing has changed since it was stored."""
        newest = newest_change(self._session)
        number = newest[0] if newest else 0
        if number != self._newest:
            self.forget()
        self._newest = number

    def end(self, last_change: int, changes: int) -> None:
        """End it: these were its own changes. Whoever came between them has changed what is remembered."""
        if last_change - changes != self._newest:
            self.forget()
        self._newest = last_change

    def forget(self) -> None:
        """Forget everything."""
        self._pasts.clear()
        self._days.clear()
        self._rules.clear()
        self._rows, self._own_kits, self._rules_change = 0, None, None

    def past_of(self, site: Site, parameters: Sequence[str], until: date) -> Rows:
        """Return the visits of a site up to a date, with their readings of all parameters."""
        if site.code not in self._pasts:
            everything = tuple(load_catalogue().parameters)
            found: list[Row] = [
                dict(row) for row in site_past(self._session, site.code, everything, date.max)
            ]
            self._pasts[site.code] = found
            self._rows += len(found)
        self._pasts.move_to_end(site.code)
        while self._rows > MOST_ROWS and len(self._pasts) > 1:
            self._rows -= len(self._pasts.popitem(last=False)[1])
        past = self._pasts[site.code]
        return past[: bisect_right(past, until, key=lambda row: row["observed_on"])]

    def week_around(self, within: WatershedCode, parameters: Sequence[str], on: date) -> Rows:
        """Return the anomalies in a watershed in the days around a date."""
        first, last = on - SIDE, on + SIDE
        days = self._days.get(within)
        if days is None or not (days.first <= first and last <= days.last):
            ahead = last + timedelta(days=AHEAD_DAYS)
            everything = tuple(load_catalogue().parameters)
            found: list[Row] = [
                dict(row) for row in days_around(self._session, within, everything, first, ahead)
            ]
            days = self._days[within] = _Days(first, ahead, found)
        return [
            row for row in days.rows if first <= row["observed_on"] <= last and row["parameter"] in parameters
        ]

    def rules_at(self, site: Site, on: date) -> NetworkRules:
        """Return what the network has set for a site on a local date."""
        if self._rules_change is None:
            self._rules_change = days_of_change(self._session)
        # Criteria begin and end on days, indices hold in months of every year.
        stretch = site.code, on.month, bisect_right(self._rules_change, on)
        if stretch not in self._rules:
            self._rules[stretch] = find_rules(self._session, site, on)
        return self._rules[stretch]

    def boxes_of(self, school: str, codes: Collection[str]) -> Mapping[str, SchoolKitLot]:
        """Return a school's boxes of kits behind codes, asked anew: a blank changes them."""
        return find_lots(self._session, school, codes)

    def add(self, record: VisitRecord, site: Site) -> None:
        """Add a visit that was handed in, so that the next ones find it."""
        rows, anomalies = self.rows_of(record)
        past = self._pasts.get(site.code)
        if past is not None:
            _insert(past, rows)
            self._rows += len(rows)
        for within, days in self._days.items():
            if anomalies and lies_in(site, within) and days.first <= record.visit.observed_on <= days.last:
                _insert(days.rows, anomalies)

    def rows_of(self, record: VisitRecord) -> tuple[list[Row], list[Row]]:
        """Return what a visit adds to the past of its site, and to the week of its watershed."""
        usable = [row for row in record.readings if _is_usable(row)]
        past = [self._past_row(record, row) for row in usable] or [self._past_row(record, None)]
        if record.visit.kind is not VisitKind.ROUTINE:
            return past, []
        return past, [self._week_row(record, row) for row in record.readings if row.anomaly is not None]

    def _past_row(self, record: VisitRecord, reading: VisitReading | None) -> Row:
        visit, revision = record.visit, record.revision
        of_the_visit = {
            "visit_id": visit.id,
            "kind": visit.kind,
            "observed_at": visit.observed_at,
            "observed_on": visit.observed_on,
            "team": revision.team,
            "received_at": revision.received_at,
            "catch_hash": revision.catch_hash,
        }
        if reading is None:
            return {**of_the_visit, "parameter": None}
        names = ("parameter", "value", "censored", "kit", "residual")
        of_the_reading: dict[str, Any] = {name: getattr(reading, name) for name in names}
        return {**of_the_visit, **of_the_reading, "network_kit_kind": self._kind_of(reading.kit)}

    def _week_row(self, record: VisitRecord, reading: VisitReading) -> Row:
        return {
            "visit_id": record.visit.id,
            "site": record.visit.site,
            "observed_on": record.visit.observed_on,
            "parameter": reading.parameter,
            "anomaly": reading.anomaly,
            "kit": reading.kit,
            "network_kit_kind": self._kind_of(reading.kit),
        }

    def _kind_of(self, kit: str | None) -> str | None:
        """Return the kind of a kit of the network's own."""
        if self._own_kits is None:
            self._own_kits = {row.code: row.kind for row in kits_after(self._session, "", MOST_KITS)}
        return self._own_kits.get(kit or "")


def _is_usable(reading: VisitReading) -> bool:
    """Tell whether a reading that was just handed in counts, as `usable` of the queries has it."""
    return reading.value is not None and reading.flag in (Flag.PASS, Flag.NOT_EVALUATED)


def _insert(rows: list[Row], new: Sequence[Row]) -> None:
    place = bisect_right(rows, in_order(new[0]), key=in_order)
    rows[place:place] = new


def in_order(row: Row) -> tuple[date, UUID]:
    """Return by what the rows of a background are in order."""
    return row["observed_on"], row["visit_id"]


def lies_in(site: Site, within: WatershedCode) -> bool:
    """Tell whether a site lies in a watershed."""
    code = site.watershed_code
    return site.watershed_scheme == within.scheme and code is not None and code.startswith(within.code)
