"""What crosses HTTP when E. coli is followed over time. All counts are per 100 mL."""

from datetime import date
from typing import Annotated

from pydantic import Field

from service.core.schema import Answer
from service.science.bacteria import Bound
from service.science.bathing_criteria import Verdict


class MeanAnswer(Answer):
    """A geometric mean with every "<" and ">" at its limit.

    ``low`` and ``high`` are the smallest and the largest mean that steps of kits and limits leave open; null
    is without end. With limits on both sides ``mark`` is null: the number then bounds nothing.
    """

    value: float
    mark: Annotated[Bound | None, Field(description='"exact", ">=" or "<=".')]
    low: float | None
    high: float | None
    text: str


class ModelAnswer(Answer):
    """The geometric mean by a lognormal spread (maximum likelihood); of natural logarithms mean and SD."""

    value: float
    log_mean: float
    log_sd: float


class ShareAnswer(Answer):
    """Samples above a value: at least and at most so many, for what a limit does not decide."""

    above: float
    at_least: int
    at_most: int
    percent_at_least: float
    percent_at_most: float
    text: str


class StatementAnswer(Answer):
    """What samples of 30 days say beside one pair of values for bathing."""

    illnesses_per_1000: int
    geometric_mean_at_most: float
    threshold: float
    geometric_mean: Verdict
    share_above: Verdict
    together: Verdict
    text: str


class CountsAnswer(Answer):
    """What the samples of some dates say; one sample is one visit. Means are null where no count is known."""

    from_date: date
    to_date: date
    samples: int
    geometric_mean: MeanAnswer | None
    model: ModelAnswer | None
    shares: list[ShareAnswer]


class WindowAnswer(CountsAnswer):
    """Thirty days that end on a date with a sample."""

    statements: list[StatementAnswer]


class WindowsInShort(Answer):
    """How many of the 30 days with enough samples meet one pair of values, do not, or cannot tell."""

    illnesses_per_1000: int
    geometric_mean_at_most: float
    threshold: float
    meet: int
    do_not_meet: int
    cannot_tell: int
    too_few_samples: int


class SiteBacteria(Answer):
    """E. coli at a site over a period, from released visits."""

    site: str
    parameter: str
    unit: str
    whole: Annotated[CountsAnswer | None, Field(description="Null where no sample is of these dates.")]
    windows: list[WindowAnswer]
    in_short: list[WindowsInShort]
    text: str
    reasons: list[str]
