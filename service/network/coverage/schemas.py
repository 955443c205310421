"""What crosses HTTP about how often sites are visited."""

from datetime import date
from typing import Annotated

from pydantic import BeforeValidator, Field

from service.core.formats.negotiate import FormatQuery
from service.core.paging import PageQuery
from service.core.schema import Answer
from service.network.site_fields import SiteFields
from service.sites.schemas import SiteChoice
from service.visits.ask import DatedQuery


def _truth(text: object) -> object:
    return {"true": True, "false": False}.get(text, text) if isinstance(text, str) else text


class CoverageQuery(DatedQuery, SiteChoice, PageQuery, FormatQuery):
    """Which sites, between which local dates; without dates the twelve weeks up to today."""

    overdue_days: Annotated[
        int, Field(ge=1, le=3660, description="A site is overdue after more days than this without a visit.")
    ] = 21
    overdue: Annotated[
        bool, BeforeValidator(_truth), Field(strict=True, description="Only the sites that are overdue.")
    ] = False


class CoveredWeek(Answer):
    """A week of the ISO calendar in which a site was visited."""

    week: Annotated[str, Field(description="ISO 8601 week, such as 2026-W11.")]
    begins_on: Annotated[date, Field(description="Its Monday.")]
    visits: Annotated[int, Field(description="Released routine visits in it.")]


class SiteCoverage(SiteFields):
    """How often a site was visited, week by week, and whether a visit is overdue."""

    visits: Annotated[int, Field(description="Released routine visits between the two dates.")]
    weeks_with_visits: Annotated[int, Field(description="How many weeks had one.")]
    weeks: Annotated[list[CoveredWeek], Field(description="The weeks with a visit; in all others was none.")]
    last_visit_on: Annotated[
        date | None, Field(description="Of the last visit up to the second date, also before the first.")
    ]
    days_without_visit: Annotated[
        int | None, Field(description="Days from it to the second date; null: there was none.")
    ]
    is_overdue: Annotated[
        bool, Field(description="More than `overdue_days` days have gone by without a visit.")
    ]
    text: Annotated[str, Field(description="What is to be done, in plain words.")]


class CoveragePage(Answer):
    """A page of sites with their weeks. ``sites`` and ``sites_overdue`` count all that were asked for."""

    from_date: Annotated[date, Field(description="First local date that counts.")]
    to_date: Annotated[date, Field(description="Last local date that counts.")]
    weeks: Annotated[int, Field(description="ISO weeks that the dates touch.")]
    overdue_days: Annotated[int, Field(description="Days after which a site is overdue.")]
    sites: Annotated[int, Field(description="Sites that were asked for, on all pages.")]
    sites_overdue: Annotated[int, Field(description="How many of them are overdue.")]
    items: Annotated[list[SiteCoverage], Field(description="The sites, in the order of their codes.")]
    next: Annotated[str | None, Field(description="Address of the next page; null on the last.")]
