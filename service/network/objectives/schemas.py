"""What crosses HTTP when the readings of a period are set beside their objectives."""

from datetime import date
from typing import Annotated

from pydantic import Field

from service.core.schema import Answer
from service.science.scores.index import Standing

Unit = Annotated[str, Field(description="Unit of the limits and of what was read.")]


class VariableAnswer(Answer):
    """A parameter with its objective, and what came of its readings.

    Samples are visits; one that lies beyond a limit which does not decide is no test. ``excursions`` is the
    sum of the relative distances by which tests missed. A formula gives the upper limit anew on each visit.
    """

    parameter: str
    criterion: str
    criterion_name: str
    at_least: float | None
    at_most: float | None
    unit: Unit
    formula: str | None
    source: str
    samples: int
    tests: int
    failed_tests: int
    undecided: int
    excursions: float
    left_out: bool


class CcmeAnswer(Answer):
    """The CCME index of one site and period, 0 worst to 100 best; ``f1``, ``f2``, ``f3`` run from 0 to 100.

    ``low`` and ``high`` bound the central 90 % of what the same water could have given through the same kits,
    ``bands`` is the chance of each class. ``at_most``: the value is the best it can be. Only numbers with the
    same ``comparable_with`` may be set against one another.
    """

    name: Annotated[str, Field(description='Such as "whole period" or "2025 Mar-May".')]
    from_date: date
    to_date: date
    first_visit: date | None
    last_visit: date | None
    visits: int
    definition: int
    value: float | None
    band: str | None
    standing: Standing
    low: float | None
    high: float | None
    bands: dict[str, float]
    f1: float | None
    f2: float | None
    f3: float | None
    nse: Annotated[float | None, Field(description="Normalised sum of excursions.")]
    variables: int
    failed_variables: int
    tests: int
    failed_tests: int
    undecided: int
    at_most: bool
    half_steps: Annotated[int, Field(description="Zeros that half a step of the kit stood in for.")]
    comparable_with: str
    by_variable: list[VariableAnswer]
    text: str
    reasons: list[str]


class SiteCcme(Answer):
    """The CCME index of a site over the whole period and over each three months of it with a visit."""

    site: str
    index: str
    whole: Annotated[CcmeAnswer | None, Field(description="Null where no reading is of these dates.")]
    seasons: list[CcmeAnswer]
    text: str


class RankedSite(Answer):
    """A site within its group; sites of the same value share a rank."""

    rank: int
    site: str
    stream: str | None
    stream_km: float | None
    value: float | None
    band: str | None
    standing: Standing
    low: float | None
    high: float | None
    at_most: bool
    tests: int
    failed_tests: int
    first_visit: date | None
    last_visit: date | None
    reasons: list[str]


class RankedGroup(Answer):
    """Sites that may be ranked: the same parameters, objectives and period. Best first."""

    comparable_with: str
    objectives: list[str]
    sites: list[RankedSite]


class NotRanked(Answer):
    """A site that is not ranked, and why."""

    site: str
    value: float | None
    standing: Standing
    reason: str


class WatershedRanking(Answer):
    """The sites of a watershed in the order of their CCME index, in groups that may be compared."""

    scheme: str
    code: str
    index: str
    definition: int
    from_date: date | None
    to_date: date | None
    groups: list[RankedGroup]
    not_ranked: list[NotRanked]
    text: str
