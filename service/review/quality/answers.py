"""What the report on the quality of the readings answers."""

from datetime import date
from typing import Annotated

from pydantic import Field

from service.core.schema import Answer
from service.review.quality.periods import Period

Share = Annotated[float | None, Field(ge=0, le=1)]


class ReadingCounts(Answer):
    """The routine readings of a school with one kit in one stretch of time.

    ``readings`` counts all that were handed in, also those noted as not measured (``missing``). Of the
    ``flagged`` (3 or 4 by a check) a person let the ``dismissed`` stand, others still wait in a held visit.
    """

    begins: date
    school: str
    parameter: str
    kit: str | None
    readings: int
    missing: int
    evaluated: Annotated[int, Field(description="At least one check could tell.")]
    flagged: int
    dismissed: int
    waiting: int
    usable: Annotated[int, Field(description="Passed, not evaluated or let stand, in a visit not rejected.")]
    share_flagged: Annotated[Share, Field(description="Flagged of evaluated.")]
    share_dismissed: Annotated[
        Share, Field(description="Dismissed of evaluated: the false alarms that are known as such.")
    ]
    completeness_percent: Annotated[float, Field(description="Usable of all handed in, %.")]


class DuplicateRow(Answer):
    """How far two readings of the same water with the same kit lie apart."""

    parameter: str
    kit: str
    how: Annotated[
        str, Field(description="`same-visit`: read twice in a visit; `field-replicate`: by a second visit.")
    ]
    unit: str
    pairs: int
    censored: Annotated[int, Field(description="Pairs with a < or >; they agree where intervals overlap.")]
    steps_apart: Annotated[
        dict[str, int], Field(description="Uncensored pairs by whole steps or marks: 0, 1, 2, more.")
    ]
    share_within_one_step: float
    pooled_sd: Annotated[float | None, Field(description="Standard deviation of one reading, in `unit`.")]
    median_rpd_percent: Annotated[
        float | None, Field(description="Relative difference, %; only for titrators and meters, never pH.")
    ]


class KitAgainstMeterRow(Answer):
    """Kit less meter, in ``unit``, where both read the same water in one visit."""

    parameter: str
    kit: str
    meter: str
    unit: str
    pairs: int
    share_within_one_step: Annotated[float, Field(description="Steps or marks of the kit.")]
    uncensored: Annotated[int, Field(description="Pairs behind the numbers below; two are needed.")]
    mean_bias: float | None
    sd: float | None
    lower_limit: Annotated[float | None, Field(description="95 of 100 differences lie above it.")]
    upper_limit: Annotated[float | None, Field(description="95 of 100 differences lie below it.")]
    hodges_lehmann: Annotated[float | None, Field(description="Median of all means of two differences.")]


class LastDigitRow(Answer):
    """How often a school writes 0 or 5 at the end with a scale in steps of 0.2, where one in five is due."""

    school: str
    kit: str
    visits: int
    readings: int
    share_0_or_5: float
    expected_share: float


class QualityReport(Answer):
    """How good the readings are, as far as the register can tell."""

    period: Period
    readings: list[ReadingCounts]
    duplicates: list[DuplicateRow]
    kit_against_meter: list[KitAgainstMeterRow]
    last_digits: list[LastDigitRow]
