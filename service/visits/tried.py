"""The background of a dry run: what the register knows, and on top of it the visits that were tried before.

So the visits of a file are judged as they will be when it is sent, and nothing is written meanwhile.
"""

from collections import defaultdict, deque
from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from uuid import UUID

from service.science.watershed_code import WatershedCode
from service.sites.tables import SchoolKitLot, Site
from service.visits.background import SAME_WEEK_DAYS
from service.visits.queries import Row, Rows
from service.visits.record import VisitRecord
from service.visits.remembered import Remembered, in_order, lies_in
from service.visits.score_visit import NetworkRules
from service.visits.submit import blanks_of

MOST_ROWS = 50_000  # of readings that were tried, in memory; beyond it the oldest go
SIDE = timedelta(days=SAME_WEEK_DAYS)
KEPT = 3 * SIDE  # visits come in the order of time, but the local day may run a day ahead of it


class Tried:
    """What the register will know when the visits that were tried so far are stored."""

    def __init__(self, register: Remembered) -> None:
        self.has_forgotten = False
        self._register = register
        self._pasts: defaultdict[str, deque[Row]] = defaultdict(deque)
        self._sites: deque[str] = deque()  # whose past each row went to, the oldest first
        self._week: deque[tuple[Site, Row]] = deque()
        self._revised: set[UUID] = set()
        self._blanks: dict[tuple[str, str], date | None] = {}

    def past_of(self, site: Site, parameters: Sequence[str], until: date) -> Rows:
        """Return the visits of a site up to a date, with their readings of all parameters."""
        stored = self._still_so(self._register.past_of(site, parameters, until))
        tried = [row for row in self._pasts.get(site.code, ()) if row["observed_on"] <= until]
        return sorted([*stored, *tried], key=in_order) if tried else stored

    def week_around(self, within: WatershedCode, parameters: Sequence[str], on: date) -> Rows:
        """Return the anomalies in a watershed in the days around a date."""
        stored = self._still_so(self._register.week_around(within, parameters, on))
        tried = [
            row
            for site, row in self._week
            if abs(row["observed_on"] - on) <= SIDE
            and row["parameter"] in parameters
            and lies_in(site, within)
        ]
        return sorted([*stored, *tried], key=in_order) if tried else stored

    def rules_at(self, site: Site, on: date) -> NetworkRules:
        """Return what the network has set for a site on a local date."""
        return self._register.rules_at(site, on)

    def boxes_of(self, school: str, codes: Collection[str]) -> Mapping[str, SchoolKitLot]:
        """Return a school's boxes, each as the newest blank that was tried has left it."""
        return {code: self._as_tried(box) for code, box in self._register.boxes_of(school, codes).items()}

    def revise(self, visit_id: UUID) -> None:
        """Take a visit that is stored as gone: its correction is tried next."""
        self._revised.add(visit_id)

    def add(self, record: VisitRecord, site: Site) -> None:
        """Add a visit that was tried, so that the next ones find it."""
        past, anomalies = self._register.rows_of(record)
        for row in past:
            self._pasts[site.code].append(row)
            self._sites.append(site.code)
        while len(self._sites) > MOST_ROWS:
            self._pasts[self._sites.popleft()].popleft()
            self.has_forgotten = True
        self._week.extend((site, row) for row in anomalies)
        while self._week and self._week[0][1]["observed_on"] < record.visit.observed_on - KEPT:
            self._week.popleft()
        self._blanks |= {(record.visit.school, code): on for code, on in blanks_of(record).items()}

    def _as_tried(self, box: SchoolKitLot) -> SchoolKitLot:
        if (box.school, box.code) not in self._blanks:
            return box
        return SchoolKitLot(**box.model_dump() | {"blank_failed_on": self._blanks[box.school, box.code]})

    def _still_so(self, rows: Rows) -> Rows:
        return [row for row in rows if row["visit_id"] not in self._revised] if self._revised else rows
