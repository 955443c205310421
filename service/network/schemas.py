"""What crosses HTTP when the whole network is asked: filters in, flat rows out."""

from datetime import date
from typing import Annotated
from uuid import UUID

from pydantic import BeforeValidator, Field

from service.core.formats.negotiate import FormatQuery
from service.core.paging import PageQuery
from service.core.schema import Answer
from service.science.types import VisitKind
from service.sites.box import BoxFilter
from service.visits.answers import FlagNumber, Mark
from service.visits.ask import Name, VisitFilter
from service.visits.tables import State


def _flag_number(text: object) -> object:
    return int(text) if isinstance(text, str) and text.isdigit() else text


FlagFilter = Annotated[FlagNumber | None, BeforeValidator(_flag_number)]


class NetworkFilter(VisitFilter):
    """Which visits: by watershed, local dates (both inclusive), site, stream, school, state and kind."""

    bbox: BoxFilter = None
    state: Annotated[
        State | None,
        Field(description="Left out: what is in the record, held visits only where you may see them."),
    ] = None
    kind: Annotated[
        VisitKind, Field(description="Duplicates and blanks are listed only when they are asked for.")
    ] = VisitKind.ROUTINE


class VisitChoice(NetworkFilter):
    """Which visits."""

    flag: Annotated[FlagFilter, Field(description="Worst flag of the visit.")] = None


class ReadingChoice(NetworkFilter):
    """Which readings."""

    parameter: Name | None = None
    flag: Annotated[FlagFilter, Field(description="Flag of the reading.")] = None


class ScoreChoice(NetworkFilter):
    """Which scores."""

    index: Name | None = None
    band: Name | None = None
    definition: Annotated[
        int | None,
        Field(ge=1, le=32_767, description="Number of its definition, also an older one."),
    ] = None


class VisitQuery(VisitChoice, PageQuery, FormatQuery):
    """Which page of which visits, and how written."""


class ReadingQuery(ReadingChoice, PageQuery, FormatQuery):
    """Which page of which readings, and how written."""


class ScoreQuery(ScoreChoice, PageQuery, FormatQuery):
    """Which page of which scores, and how written."""


class Row(Answer):
    """What every row says of its visit."""

    visit_id: UUID
    revision: int
    state: State
    kind: VisitKind
    site: str
    school: str
    stream: str | None
    stream_km: float | None
    watershed_scheme: str | None
    watershed_code: str | None
    latitude: Annotated[float | None, Field(description="Degrees north, WGS 84, as far as you may see it.")]
    longitude: Annotated[float | None, Field(description="Degrees east, WGS 84, as far as you may see it.")]
    observed_on: Annotated[date, Field(description="Local date, in the time zone.")]
    time_zone: str


class ShortReading(Answer):
    """A reading within a row of visits."""

    parameter: str
    value: float | None
    unit: str
    censored: Mark
    flag: FlagNumber


class ShortScore(Answer):
    """A score within a row of visits."""

    index: str
    definition: int
    value: float | None
    band: str | None
    standing: str


class VisitRow(Row):
    """One visit, with its readings and scores in short."""

    flag: FlagNumber
    readings: list[ShortReading]
    scores: list[ShortScore]


class ReadingRow(Row):
    """One reading."""

    position: int
    parameter: str
    replicate: int
    value: float | None
    unit: str
    censored: Mark
    low: float | None
    high: float | None
    kit: str | None
    flag: FlagNumber


class ScoreRow(Row):
    """One score."""

    index: str
    definition: int
    value: float | None
    band: str | None
    standing: str
    low: float | None
    high: float | None
    bands: dict[str, float]
    reasons: list[str]
    inputs: list[str]
    reference_version: str


class VisitPage(Answer):
    """A page of visits."""

    items: list[VisitRow]
    next: str | None


class ReadingPage(Answer):
    """A page of readings."""

    items: list[ReadingRow]
    next: str | None


class ScorePage(Answer):
    """A page of scores."""

    items: list[ScoreRow]
    next: str | None


class WatershedRow(Answer):
    """A watershed of any level that holds a site. ``parent`` is the next wider level."""

    scheme: str
    code: str
    name: str | None
    parent: str | None
    sites: Annotated[int, Field(description="Sites that lie inside, also those of the narrower levels.")]
    visits: Annotated[int, Field(description="Released routine visits of these sites.")]


class WatershedPage(Answer):
    """The watersheds of the network, widest first within their order."""

    items: list[WatershedRow]
    next: None


class Quantile(Answer):
    """A quantile that is only known to lie between ``low`` and ``high`` (null: open)."""

    low: float | None
    high: float | None
    text: Annotated[str, Field(description='In words with its unit, such as "6 mg/L" or "at least 60 cm".')]


class ParameterSummary(Answer):
    """The usable readings of one parameter. Detected is every reading that is not below its limit."""

    parameter: str
    unit: str
    readings: int
    detected_percent: float
    lower_quartile: Quantile
    median: Quantile
    upper_quartile: Quantile


class CriterionSummary(Answer):
    """The share of usable readings that meet a criterion, at the sites where it applies.

    The two percentages differ where readings only known to be beyond a limit cannot be told. One visit that
    does not meet a value is no proof of a violation: criteria are means and minima over time.
    """

    criterion: str
    name: str
    parameter: str
    unit: str
    at_least: float | None
    at_most: float | None
    source: str
    sites: int
    readings: int
    meeting_low_percent: float
    meeting_high_percent: float
    text: str


class Coverage(Answer):
    """How many weeks have a visit, and how many of the weeks of all sites (weeks times sites)."""

    weeks: int
    weeks_with_visits: int
    site_weeks: int
    site_weeks_with_visits: int
    percent: Annotated[float, Field(description="Weeks of sites with a visit, % of all.")]


class ScoreSummary(Answer):
    """How many scores of an index have each standing, and how many of the rated and provisional each band."""

    index: str
    definition: int
    standings: dict[str, int]
    bands: dict[str, int]


class WatershedSummary(Answer):
    """What the visits of a watershed say together.

    ``sites_undetermined`` counts sites whose own code is too coarse to tell whether they lie inside.
    """

    scheme: str
    code: str
    name: str | None
    first_date: date | None
    last_date: date | None
    visits: dict[str, int]
    sites_with_visits: int
    sites: int
    sites_undetermined: int
    coverage: Annotated[Coverage | None, Field(description="Null where no visit is.")]
    parameters: list[ParameterSummary]
    criteria: list[CriterionSummary]
    scores: list[ScoreSummary]
    ranking: Annotated[str, Field(description="Where the sites are ranked, as far as they compare.")]
