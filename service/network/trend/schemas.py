"""What crosses HTTP when a site is asked whether something changes over the years."""

from typing import Annotated

from pydantic import Field

from service.core.schema import Answer
from service.network.schemas import Quantile
from service.science.trend.seasonal_kendall import PMethod
from service.science.trend.verdict import Verdict
from service.visits.ask import DatedQuery, Name


class TrendQuery(DatedQuery):
    """What to follow over the years: exactly one of ``parameter`` and ``index``."""

    parameter: Annotated[Name | None, Field(description="A parameter, such as dissolved_oxygen.")] = None
    index: Annotated[Name | None, Field(description="An index, such as family-biotic-extended.")] = None


class MonthValue(Answer):
    """The median of one month of one year; ``compared`` tells whether the month has enough years."""

    year: int
    month: int
    median: Quantile
    readings: int
    compared: bool


class KendallAnswer(Answer):
    """The seasonal Kendall test: score ``s``, its variance, ``z`` and two-sided ``p``.

    ``tau`` is s over the number of pairs that were compared. ``p`` takes the months for independent.
    """

    s: int
    variance: float
    z: float
    p: float
    method: Annotated[PMethod, Field(description="exact: every order of the values was counted out.")]
    tau: float


class AdjustedAnswer(Answer):
    """The same score when the likeness of the months of one year is allowed for (Hirsch and Slack 1984)."""

    variance: float
    z: float
    p: float


class SlopeAnswer(Answer):
    """Sen's slope in ``unit``; ``value`` is null where "<" and ">" leave it open within bounds.

    ``low`` and ``high`` bound the 95 % interval, null where open.
    """

    value: float | None
    low: float | None
    high: float | None
    unit: str
    text: str


class ChangeAnswer(Answer):
    """The slope times the years between first and last, in ``unit``, beside the coarsest step of the kits.

    ``kit_step`` and ``more_than_one_step`` are null where a kit is not known or a score has none.
    """

    value: float | None
    unit: str
    text: str
    kit_step: float | None
    more_than_one_step: bool | None


class LimitsAnswer(Answer):
    """Limits at which all monthly medians were cut to be compared, in ``unit``; null: none on that side.

    ``changed`` counts the medians that say less than before.
    """

    below: float | None
    above: float | None
    unit: str
    changed: int


class TrendAnswer(Answer):
    """What the released visits of a site say of a trend in one parameter or one index.

    ``unit`` is empty for an index. ``years`` and ``months`` (1 to 12) are those that are compared. Each p has
    to lie below ``level``. ``test``, ``slope`` and ``change`` are null where there is not enough data.
    """

    site: str
    parameter: str | None
    index: str | None
    unit: str
    verdict: Verdict
    text: str
    reasons: list[str]
    level: float
    method: Annotated[str | None, Field(description="Kind of kit, or definition of the index.")]
    kits: list[str]
    readings: int
    readings_left_out: int
    years: list[int]
    months: list[int]
    test: KendallAnswer | None
    adjusted: Annotated[AdjustedAnswer | None, Field(description="From ten years on.")]
    slope: SlopeAnswer | None
    change: ChangeAnswer | None
    limits: LimitsAnswer | None
    values: list[MonthValue]
