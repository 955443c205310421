"""What the register knows that a visit is judged by: its site's past, its neighbours' week, its rules."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from typing import Protocol

from sqlmodel import Session

from service.science.watershed_code import WatershedCode
from service.sites.keep_lot import find_lots
from service.sites.tables import SchoolKitLot, Site
from service.visits.network_rules import find_rules
from service.visits.queries import Rows, days_around, site_past
from service.visits.score_visit import NetworkRules

SAME_WEEK_DAYS = 3  # to either side: a week with the visit in its middle


class Background(Protocol):
    """Who is asked what the register knows. Rows are those of `site_past` and `days_around`."""

    def past_of(self, site: Site, parameters: Sequence[str], until: date) -> Rows:
        """Return the visits of a site up to a date; readings of other parameters may be among them or not."""

    def week_around(self, within: WatershedCode, parameters: Sequence[str], on: date) -> Rows:
        """Return the anomalies in a watershed in the days around a date, nearest to its end last."""

    def rules_at(self, site: Site, on: date) -> NetworkRules:
        """Return what the network has set for a site on a local date."""

    def boxes_of(self, school: str, codes: Collection[str]) -> Mapping[str, SchoolKitLot]:
        """Return a school's boxes of kits behind codes; unknown codes are absent."""


class AskedAnew:
    """Asks the database each time: what stands there now."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def past_of(self, site: Site, parameters: Sequence[str], until: date) -> Rows:
        """Return the visits of a site up to a date."""
        return site_past(self._session, site.code, parameters, until)

    def week_around(self, within: WatershedCode, parameters: Sequence[str], on: date) -> Rows:
        """Return the anomalies in a watershed in the days around a date."""
        days = timedelta(days=SAME_WEEK_DAYS)
        return days_around(self._session, within, parameters, on - days, on + days)

    def rules_at(self, site: Site, on: date) -> NetworkRules:
        """Return what the network has set for a site on a local date."""
        return find_rules(self._session, site, on)

    def boxes_of(self, school: str, codes: Collection[str]) -> Mapping[str, SchoolKitLot]:
        """Return a school's boxes of kits behind codes."""
        return find_lots(self._session, school, codes)
