"""The numbers behind a trend: which values are compared, test, slope, and the kit's step beside them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.science.trend.censoring import OneLimit, cut_at_one_limit
from service.science.trend.monthly_medians import (
    MonthlyMedian,
    Observation,
    SeasonTable,
    monthly_medians,
    season_table,
)
from service.science.trend.one_method import MethodRun, newest_run
from service.science.trend.seasonal_kendall import KendallTest, seasonal_kendall
from service.science.trend.sen_slope import Slope, seasonal_slope
from service.science.trend.serial_dependence import AdjustedTest, adjusted_for_dependence

FEWEST_YEARS = 5
FEWEST_MONTHS = 3  # that have values in FEWEST_YEARS years
ADJUSTED_FROM_YEARS = 10


@dataclass(frozen=True, slots=True)
class Results:
    """The test of the values with the slope [unit per year]; ``adjusted`` only for ten years or more.

    ``change_low`` and ``change_high`` bound the slope times the years between the first and the last.
    """

    test: KendallTest
    adjusted: AdjustedTest | None
    slope: Slope
    change_low: float
    change_high: float
    different_values: int


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a verdict rests on.

    ``medians`` are those of the run; the months of ``table`` have values in enough years. ``limit`` is
    ``None`` where the limits of the values leave no order, ``results`` where there is not enough to test.
    ``step`` is the coarsest step among the kits of the run, ``None`` where it is not known of every value.
    """

    run: MethodRun
    medians: tuple[MonthlyMedian, ...]
    table: SeasonTable
    limit: OneLimit | None
    step: float | None
    results: Results | None

    @property
    def years(self) -> tuple[int, ...]:
        """Return the years that are compared, or where nothing is, those that have values."""
        return self.table.years if self.results else tuple(sorted({one.year for one in self.medians}))


def gather_evidence(observations: Sequence[Observation]) -> Evidence:
    """Return what can be told of a trend from some observations.

    Parameters
    ----------
    observations : sequence of Observation
        Of one site and one parameter or index [any one unit], in the order of time.

    Returns
    -------
    Evidence
        With results where three months or more have values in five years or more.
    """
    run = newest_run(observations)
    medians = monthly_medians(run.observations)
    table = season_table(medians, FEWEST_YEARS)
    limit = cut_at_one_limit(table.lows, table.highs)
    enough = len(table.months) >= FEWEST_MONTHS and limit is not None
    return Evidence(
        run=run,
        medians=medians,
        table=table,
        limit=limit,
        step=_coarsest_step(run),
        results=_results(table, limit) if enough and limit is not None else None,
    )


def _results(table: SeasonTable, limit: OneLimit) -> Results:
    test = seasonal_kendall(limit.places)
    slope = seasonal_slope(table.years, limit.lows, limit.highs, test.variance)
    span = table.years[-1] - table.years[0]
    long_enough = len(table.years) >= ADJUSTED_FROM_YEARS
    return Results(
        test=test,
        adjusted=adjusted_for_dependence(limit.places, test.s) if long_enough else None,
        slope=slope,
        change_low=slope.low * span,
        change_high=slope.high * span,
        different_values=len(np.unique(limit.places[~np.isnan(limit.places)])),
    )


def _coarsest_step(run: MethodRun) -> float | None:
    steps = [one.step for one in run.observations]
    return max((step for step in steps if step is not None), default=None) if None not in steps else None
