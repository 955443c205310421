"""Visits by week of the ISO calendar, and which sites wait for one."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from datetime import date, timedelta

from sqlmodel import Session

from service.network.coverage.queries import SitesAsked, sites_with_last_visit, visits_by_day
from service.network.coverage.schemas import CoveredWeek, SiteCoverage
from service.network.site_fields import site_fields
from service.schools.caller import Caller

WEEK_DAYS = 7


def monday_of(on: date) -> date:
    """Return the day on which the ISO week of a date begins."""
    return on - timedelta(days=on.weekday())


def week_name(monday: date) -> str:
    """Return the name of a week that begins on a day, as ISO 8601 has it."""
    return f"{monday:%G-W%V}"


def weeks_touched(since: date, until: date) -> int:
    """Return how many ISO weeks hold a day from one date to another."""
    return (monday_of(until) - monday_of(since)).days // WEEK_DAYS + 1


def covered_sites(
    session: Session,
    caller: Caller,
    asked: SitesAsked,
    since: date,
    after: str,
    limit: int,
    *,
    only_overdue: bool,
) -> list[SiteCoverage]:
    """Return sites in the order of their codes, each with its weeks and whether a visit is overdue."""
    found = sites_with_last_visit(session, asked, after, limit, only_overdue=only_overdue)
    weeks: defaultdict[str, Counter[date]] = defaultdict(Counter)
    for code, on, visits in visits_by_day(session, [site.code for site, *_ in found], since, asked.until):
        weeks[code][monday_of(on)] += visits
    rows = []
    for site, last, is_overdue in found:
        idle = None if last is None else (asked.until - last).days
        rows.append(
            SiteCoverage(
                **site_fields(site, caller),
                visits=weeks[site.code].total(),
                weeks_with_visits=len(weeks[site.code]),
                weeks=_weeks(sorted(weeks[site.code].items())),
                last_visit_on=last,
                days_without_visit=idle,
                is_overdue=bool(is_overdue),
                text=_words(idle, bool(is_overdue), asked),
            )
        )
    return rows


def _weeks(visits: Sequence[tuple[date, int]]) -> list[CoveredWeek]:
    return [CoveredWeek(week=week_name(monday), begins_on=monday, visits=count) for monday, count in visits]


def _words(idle_days: int | None, is_overdue: bool, asked: SitesAsked) -> str:
    if idle_days is None:
        return (
            "It has no released visit yet; go and see it."
            if is_overdue
            else "It is new; its first visit is to come."
        )
    told = f"The last released visit was {idle_days} days before {asked.until}"
    if is_overdue:
        return f"{told}, more than {asked.overdue_days}; a visit is due, or one waits for review."
    return f"{told}; that is recent enough."
