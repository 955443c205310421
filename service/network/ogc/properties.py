"""What is told of each site, reading and score on a map: every key in every feature, numbers as floats."""

from datetime import date
from typing import Annotated
from uuid import UUID

from pydantic import Field, JsonValue

from service.core.schema import Answer
from service.visits.answers import FlagNumber


def unit(name: str) -> dict[str, JsonValue]:
    """Say the unit of a property as OGC API - Features Part 5 does."""
    return {"x-ogc-unit": name}


class OfASite(Answer):
    """What every feature says of its site."""

    site: Annotated[str, Field(description="Code of the site.")]
    school: Annotated[str, Field(description="Code of the school.")]
    stream: Annotated[str | None, Field(description="Code of the stream.")]
    stream_km: Annotated[
        float | None, Field(description="Kilometres upstream of the mouth.", json_schema_extra=unit("km"))
    ]
    watershed_scheme: Annotated[str | None, Field(description="Scheme of the watershed's code.")]
    watershed_code: Annotated[str | None, Field(description="Code of the watershed, with its leading zeros.")]
    time_zone: Annotated[str, Field(description="Time zone of the site's dates, by its IANA name.")]


class SiteProperties(OfASite):
    """A site."""

    name: Annotated[str, Field(description="Name of the site.")]
    elevation_m: Annotated[
        float | None, Field(description="Metres above sea level.", json_schema_extra=unit("m"))
    ]
    water_class: Annotated[str | None, Field(description="cold or warm: the kind of stream.")]
    established_on: Annotated[date | None, Field(description="First day on which the site existed.")]
    first_visit_on: Annotated[date | None, Field(description="Local date of its first released visit.")]
    last_visit_on: Annotated[date | None, Field(description="Local date of its last released visit.")]


class OfAVisit(OfASite):
    """What every feature says of its visit."""

    visit_id: Annotated[UUID, Field(description="Id of the visit.")]
    observed_on: Annotated[date, Field(description="Local date of the visit.")]


class ReadingProperties(OfAVisit):
    """A reading."""

    parameter: Annotated[str, Field(description="What was measured.")]
    replicate: Annotated[int, Field(description="Which of several readings of it on one visit, from 1.")]
    value: Annotated[float, Field(description="The value in `unit`; of a censored reading the limit.")]
    unit: Annotated[str, Field(description="Unit of value, low and high.")]
    censored: Annotated[str | None, Field(description="< or > where the truth lies beyond the value.")]
    low: Annotated[float | None, Field(description="Lower end of what it may be in truth; null: open.")]
    high: Annotated[float | None, Field(description="Upper end of what it may be in truth; null: open.")]
    kit: Annotated[str | None, Field(description="What it was measured with.")]
    flag: Annotated[
        FlagNumber,
        Field(description="QARTOD flag: 1 pass, 2 not evaluated, 3 suspect, 4 fail, 9 missing."),
    ]


class ScoreProperties(OfAVisit):
    """A score."""

    index: Annotated[str, Field(description="Id of the index.")]
    definition: Annotated[int, Field(description="Number of its definition.")]
    value: Annotated[float, Field(description="The score, on the scale of its index.")]
    band: Annotated[str | None, Field(description="Band that the value lies in.")]
    standing: Annotated[str, Field(description="How far it may be trusted: rated or provisional.")]
    low: Annotated[float | None, Field(description="Lower end of its interval; null: not known.")]
    high: Annotated[float | None, Field(description="Upper end of its interval; null: not known.")]
    reasons: Annotated[str, Field(description="Why it is trusted no further, parted by `; `.")]
