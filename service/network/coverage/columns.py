"""How often sites are visited as flat rows: one a site and week, also where nobody came."""

from datetime import date, timedelta
from typing import Any

from service.core.formats.table import Column, Kind, Table
from service.network.coverage.schemas import SiteCoverage
from service.network.coverage.weeks import WEEK_DAYS, monday_of, week_name, weeks_touched
from service.sites.columns import PLACE_COLUMNS

TEXT, WHOLE, DATE = Kind.TEXT, Kind.WHOLE, Kind.DATE
COVERAGE = Table(
    name="coverage",
    title="Visits by site and week",
    text="One row a site and ISO week between the dates, also where nobody came.",
    columns=(
        Column("site", TEXT, "Code of the site."),
        Column("name", TEXT, "Name of the site."),
        Column("school", TEXT, "Code of the school that visits it."),
        *PLACE_COLUMNS,
        Column("week", TEXT, "ISO 8601 week, such as 2026-W11."),
        Column("begins_on", DATE, "Monday of the week."),
        Column("visits", WHOLE, "Released routine visits of the week, as far as it lies between the dates."),
        Column("last_visit_on", DATE, "Date of the last visit up to the second date.", may_be_empty=True),
        Column("days_without_visit", WHOLE, "Days from it to the second date; empty: no visit.", "d", True),
        Column("overdue", TEXT, "yes: more days without a visit than are allowed; else no."),
    ),
    key=("site", "week"),
)


def flat_coverage(row: SiteCoverage, since: date, until: date) -> list[dict[str, Any]]:
    """Return a site's row as flat rows, one a week."""
    of_the_site = row.model_dump(exclude={"weeks", "visits", "weeks_with_visits", "is_overdue", "text"})
    of_the_site["overdue"] = "yes" if row.is_overdue else "no"
    visits = {week.begins_on: week.visits for week in row.weeks}
    mondays = [
        monday_of(since) + timedelta(days=WEEK_DAYS * number) for number in range(weeks_touched(since, until))
    ]
    return [
        of_the_site | {"week": week_name(monday), "begins_on": monday, "visits": visits.get(monday, 0)}
        for monday in mondays
    ]
