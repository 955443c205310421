"""What crosses HTTP about what was measured last."""

from datetime import date
from typing import Annotated
from uuid import UUID

from pydantic import Field

from service.core.paging import PageQuery
from service.core.schema import Answer
from service.sites.schemas import SiteChoice
from service.visits.answers import FlagNumber, Mark

AgeDays = Annotated[
    int | None,
    Field(description="Days from that local date to today at the site; null where there is none."),
]


class LatestQuery(SiteChoice, PageQuery):
    """Which sites, and which parameters of them."""

    parameter: Annotated[
        str | None,
        Field(max_length=400, description="Parameters wanted, with commas between; left out: all."),
    ] = None


class LatestReading(Answer):
    """The newest usable reading of a parameter at a site; without one, all but name and unit is null."""

    parameter: str
    unit: str
    value: float | None
    censored: Mark
    low: Annotated[float | None, Field(description="Lower end of where the true value lies; null: open.")]
    high: Annotated[float | None, Field(description="Upper end of where the true value lies; null: open.")]
    flag: FlagNumber | None
    observed_on: Annotated[date | None, Field(description="Local date of the visit.")]
    age_days: AgeDays
    visit_id: UUID | None


class LatestRow(Answer):
    """One site, with what was measured there last. Sites without any visit are there too."""

    site: str
    name: str
    school: str
    stream: str | None
    stream_km: Annotated[float | None, Field(description="Kilometres upstream of the mouth.")]
    latitude: Annotated[float | None, Field(description="Degrees north, WGS 84, as far as you may see it.")]
    longitude: Annotated[float | None, Field(description="Degrees east, WGS 84, as far as you may see it.")]
    watershed_scheme: str | None
    watershed_code: str | None
    last_visit_on: Annotated[
        date | None, Field(description="Local date of the newest released routine visit; null: none yet.")
    ]
    age_days: AgeDays
    readings: Annotated[
        list[LatestReading], Field(description="One for each parameter wanted, in the order of their names.")
    ]


class LatestPage(Answer):
    """A page of sites with what was measured there last."""

    items: list[LatestRow]
    next: str | None
