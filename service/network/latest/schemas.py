"""What crosses HTTP about what was measured last."""

from datetime import date
from typing import Annotated
from uuid import UUID

from pydantic import Field

from service.core.formats.negotiate import FormatQuery
from service.core.paging import PageQuery
from service.core.schema import Answer
from service.network.site_fields import SiteFields
from service.sites.schemas import SiteChoice
from service.visits.answers import FlagNumber, Mark

AgeDays = Annotated[
    int | None,
    Field(description="Days from that local date to today at the site; null where there is none."),
]

ParametersFilter = Annotated[
    str | None, Field(max_length=400, description="Parameters wanted, with commas between; left out: all.")
]


class LatestQuery(SiteChoice, PageQuery, FormatQuery):
    """Which sites, which parameters of them, and how written."""

    parameter: ParametersFilter = None


class LatestReading(Answer):
    """The newest usable reading of a parameter at a site; without one, all but name and unit is null."""

    parameter: Annotated[str, Field(description="What was measured, as in /v1/catalogue/parameters.")]
    unit: Annotated[str, Field(description="Unit of value, low and high.")]
    value: Annotated[float | None, Field(description="Its value in `unit`; of a censored one the limit.")]
    censored: Annotated[Mark, Field(description="< or > where the truth lies below or above the value.")]
    low: Annotated[float | None, Field(description="Lower end of where the true value lies; null: open.")]
    high: Annotated[float | None, Field(description="Upper end of where the true value lies; null: open.")]
    flag: Annotated[FlagNumber | None, Field(description="Flag of the reading: 1 pass, 2 not evaluated.")]
    observed_on: Annotated[date | None, Field(description="Local date of the visit.")]
    visit_id: Annotated[UUID | None, Field(description="Id of the visit.")]
    age_days: AgeDays


class LatestRow(SiteFields):
    """One site, with what was measured there last. Sites without any visit are there too."""

    last_visit_on: Annotated[
        date | None, Field(description="Local date of the newest released routine visit; null: none yet.")
    ]
    age_days: AgeDays
    readings: Annotated[
        list[LatestReading], Field(description="One for each parameter wanted, in the order of their names.")
    ]


class LatestPage(Answer):
    """A page of sites with what was measured there last."""

    items: Annotated[list[LatestRow], Field(description="The sites, in the order of their codes.")]
    next: Annotated[str | None, Field(description="Address of the next page; null on the last.")]
