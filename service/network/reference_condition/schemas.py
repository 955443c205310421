"""What crosses HTTP when the network makes an index of its own from its reference sites."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Annotated, Self

from pydantic import Field, model_validator

from service.core.schema import Answer, Body, Code, Day, Line, Query
from service.science.scores.metric_scoring import Scoring
from service.sites.schemas import WatershedAnswer, WatershedBody
from service.visits.schemas import Gear

Month = Annotated[int, Field(ge=1, le=12)]
IndexNumber = Annotated[int | None, Field(ge=1, le=32_767, description="Left out: the newest definition.")]


class MetricBody(Body):
    """One metric: an index of the catch, and what disturbance does to it."""

    index: Annotated[Code, Field(description="An index of the catch; see `/v1/catalogue/indices`.")]
    rises_with_disturbance: bool
    worst_value: Annotated[
        float | None,
        Field(
            ge=-1e6,
            le=1e6,
            description="The worst it can be, in its own unit. Left out: the end of its bands, else 0 for a "
            "metric that falls with disturbance.",
        ),
    ] = None


class IndexBody(Body):
    """A multimetric index for one watershed and some months, to be frozen at its reference visits."""

    code: Annotated[Code, Field(description="The same code again makes its next definition.")]
    title: Line
    watershed: WatershedBody
    months: Annotated[
        list[Month], Field(min_length=1, max_length=12, description="Months of the year, 1 to 12.")
    ]
    gear: Annotated[
        Gear | None,
        Field(
            strict=False, description="Only catches with this gear. Left out: any, as if all caught alike."
        ),
    ] = None
    reference_sites: Annotated[list[Code], Field(min_length=1, max_length=200)]
    reference_from: Annotated[Day, Field(description="First local date of the reference visits.")]
    reference_until: Annotated[Day, Field(description="Last local date, itself included.")]
    scoring: Annotated[Scoring, Field(strict=False)]
    metrics: Annotated[list[MetricBody], Field(min_length=3, max_length=12)]

    @model_validator(mode="after")
    def _says_each_thing_once(self) -> Self:
        lists: dict[str, Sequence[object]] = {
            "months": self.months,
            "reference_sites": self.reference_sites,
            "metrics": [metric.index for metric in self.metrics],
        }
        for name, given in lists.items():
            if len(set(given)) < len(given):
                raise ValueError(f"{name} names something twice; once is enough")
        if self.reference_from > self.reference_until:
            raise ValueError("reference_from is later than reference_until; exchange them")
        return self


class DefineQuery(Query):
    """Whether the definition is only shown."""

    dry_run: Annotated[bool, Field(description="Show the definition without storing it.")] = False


class OneIndexQuery(Query):
    """Which definition."""

    number: IndexNumber = None


class ReferenceValues(Answer):
    """A metric in the reference visits, in its own unit."""

    lowest: float
    lower_quartile: float
    median: float
    upper_quartile: float
    highest: float


class MetricAnswer(Answer):
    """A metric as it is frozen. All values are in the unit of the metric, scores have none."""

    index: str
    definition: int
    title: str
    rises_with_disturbance: bool
    percentile: Annotated[float, Field(description="Percentile of the reference visits that `best` is.")]
    best: float
    worst: float
    scores_3_from: Annotated[float | None, Field(description="Null where the score runs from 0 to 100.")]
    scores_5_from: Annotated[float | None, Field(description="Null where the score runs from 0 to 100.")]
    reference: ReferenceValues


class BandAnswer(Answer):
    """A class of the index, both ends inclusive, and how many reference visits fell into it."""

    name: str
    lower: float
    upper: float
    reference_visits: int


class ReferenceSite(Answer):
    """What a reference site gave, and how its own visits score on the index."""

    site: str
    visits: int
    lowest: float | None
    median: float | None
    highest: float | None


class IndexAnswer(Answer):
    """One definition of an index, whole. Nothing in it ever changes."""

    code: str
    number: int
    title: str
    watershed: WatershedAnswer
    months: list[int]
    gear: str | None
    scoring: str
    lowest_possible: float
    highest_possible: float
    metrics: list[MetricAnswer]
    bands: list[BandAnswer]
    reference_sites: list[ReferenceSite]
    reference_from: date
    reference_until: date
    reference_visits: int
    reference_version: str
    created_at: datetime
    text: str


class DefinedIndex(IndexAnswer):
    """A definition just made, and which visits of the reference sites it could not use."""

    stored: bool
    visits_left_out: Annotated[dict[str, int], Field(description="How many visits, by why.")]


class IndexPage(Answer):
    """A page of definitions."""

    items: list[IndexAnswer]
    next: str | None
